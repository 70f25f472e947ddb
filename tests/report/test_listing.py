"""Tables lead with the numbers of streams and the tags of machines, and say what exists."""

from __future__ import annotations

from pathlib import Path

import pytest

import hoggin
from hoggin.report import cost, energy, equipment, mass_balance
from hoggin.report.tables import Table, Value
from hoggin.schema.results import Results
from tests.report.shown import balance_text, schedule_text

EXAMPLES = Path(__file__).parents[2] / "examples"
_PRICED = """
use std.cones
use std.sieves
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }
plant "priced" {
  sieves sieves.quarry
  currency EUR
  feed f { rock rock; rate 90 t/h; passing { 63 mm: 100 %, 20 mm: 40 %, 4 mm: 5 % } }
  crusher old: cones.high_speed(head: 1300 mm) {
    tag "30-CR-301"; existing; duty tertiary; css 20 mm; operation { price 200000 EUR }
  }
  crusher new: cones.high_speed(head: 1300 mm) {
    tag "30-CR-302"; duty tertiary; css 14 mm; operation { price 300000 EUR }
  }
  f -> old -> new -> product fine
}
"""


@pytest.fixture(scope="module")
def sand() -> Results:
    return hoggin.load(EXAMPLES / "sand.hog").balance().document


@pytest.fixture(scope="module")
def quarry() -> Results:
    return hoggin.load(EXAMPLES / "quarry.hog").balance().document


@pytest.fixture(scope="module")
def priced() -> Results:
    return hoggin.loads(_PRICED).balance().document


def _column(table: Table, heading: str) -> list[Value]:
    place = [column.heading for column in table.columns].index(heading)
    return [row[place] for row in table.rows]


def test_the_tables_of_streams_lead_with_the_numbers_of_the_results(sand: Results) -> None:
    numbers = [int(stream.number) for stream in sand.streams]
    every = mass_balance.gradings(sand, (0,)), mass_balance.stream_ledger(sand)
    for table in (mass_balance.streams(sand), *every):
        assert table.columns[0].heading == "no."
        assert _column(table, "no.") == numbers


@pytest.mark.slow
def test_slurry_is_shown_where_water_is_added_and_nowhere_else(
    sand: Results, quarry: Results
) -> None:
    headings = {column.heading for column in mass_balance.streams(quarry).columns}
    assert not headings & {"slurry", "solids", "pulp density"}
    shown = mass_balance.streams(sand)
    assert _column(shown, "slurry") == [stream.slurry_m3_h for stream in sand.streams]
    assert _column(shown, "pulp density") == [s.pulp_density_t_m3 for s in sand.streams]


def test_a_terminal_of_80_columns_has_room_for_all_tables(sand: Results) -> None:
    for text in (balance_text(sand, 80), schedule_text(sand, 80)):
        assert max(map(len, text.splitlines())) <= 80


def test_tags_lead_and_names_are_beside_them(quarry: Results) -> None:
    table = equipment.machines(quarry)
    assert [column.heading for column in table.columns][:2] == ["tag", "name"]
    listed = dict(zip(_column(table, "tag"), _column(table, "name"), strict=True))
    assert listed["20-CR-201"] == "secondary"
    assert listed["halves"] == "halves"  # it has no tag
    assert "20-SC-201.top" in _column(equipment.decks(quarry), "deck")


def test_a_plant_without_tags_has_one_column_of_names(sand: Results) -> None:
    headings = [column.heading for column in equipment.machines(sand).columns]
    assert headings[0] == "tag" and "name" not in headings and "title" not in headings


def test_what_exists_is_marked_among_the_motors(priced: Results) -> None:
    assert _column(energy.power(priced), "supply") == ["existing", None, None]


def test_what_exists_is_not_in_the_budget(priced: Results) -> None:
    assert priced.cost is not None
    assert priced.cost.budget_money == pytest.approx(300_000)
    assert _column(cost.budget(priced), "tag") == ["30-CR-302", "all of these"]
    (section,) = [one for one in cost.sections(priced) if one.heading == "Budget"]
    assert "Existing, and so not in the budget: 30-CR-301." in section.notes
