"""Power and liner wear in the schedule: what is said, and that a figure is the result's own."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.balance import balance
from hoggin.check.checker import check_file
from hoggin.rating.rate import rate
from hoggin.report import energy, equipment, text
from hoggin.schema.results import Results
from tests.report.shown import schedule_text

EXAMPLES = Path(__file__).parents[2] / "examples"


def example(name: str) -> Results:
    plant = check_file(EXAMPLES / name).plant
    assert plant is not None
    return rate(plant, balance(plant), name)


@pytest.fixture(scope="module")
def abrasive() -> Results:
    return example("quarry.hog")


@pytest.mark.slow
def test_every_machine_that_turns_has_a_row_and_the_last_is_their_sum(abrasive: Results) -> None:
    table = energy.power(abrasive)
    still = ("stockpile", "bin", "blend", "splitter")
    turning = [machine.shown_tag for machine in abrasive.machines if machine.kind not in still]
    assert [row[0] for row in table.rows[:-1]] == turning
    place = [column.heading for column in table.columns].index("drawn")
    drawn = [row[place] for row in table.rows]
    assert drawn[-1] == pytest.approx(sum(d for d in drawn[:-1] if isinstance(d, float)))
    assert table.rows[-1][-1] == pytest.approx(abrasive.energy_kwh_t)


def test_metal_of_the_plant_is_that_of_its_crushers_over_the_plants_feed(
    abrasive: Results,
) -> None:
    """Conservation of mass: g/t x t/h of each crusher add up to g/h."""
    *rows, last = energy.wear(abrasive).rows
    grams = sum(float(row[1]) * float(row[5]) for row in rows)  # type: ignore[arg-type, misc]
    assert last[5] == pytest.approx(grams / 450)


def test_the_schedule_says_what_the_figures_rest_on(abrasive: Results) -> None:
    shown = text.markdown(equipment.document(abrasive))
    assert "## Power\n" in shown and "## Liner wear\n" in shown
    assert "Bond (1963), from memory" in shown and "IEC 60072-1" in shown


def test_without_an_abrasion_index_the_schedule_says_why_there_is_no_wear() -> None:
    shown = schedule_text(example("gravel.hog"))
    assert "LINER WEAR" not in shown
    assert "abrasion_index" in shown


@pytest.mark.slow
@pytest.mark.parametrize("name", ["quarry.hog", "gravel.hog"])
def test_the_tables_keep_within_140_columns(name: str) -> None:
    assert max(map(len, schedule_text(example(name)).splitlines())) <= 140


@pytest.mark.slow
def test_liner_cost_is_shown_in_the_plants_currency_only_where_it_is_priced(
    abrasive: Results,
) -> None:
    assert energy.liner_costs(abrasive).rows == ()
    assert "LINER COST" not in schedule_text(abrasive)
    results = example("cones.hog")
    table = energy.liner_costs(results)
    *rows, last = table.rows
    assert [row[0] for row in rows] == [m.tag for m in results.machines if m.kind == "crusher"]
    units = [column.unit for column in table.columns]
    assert {"EUR", "EUR/kg", "EUR/t", "EUR/h"} <= set(units)
    # Conservation: what an hour costs is what a tonne of plant feed costs, times the plant's feed.
    assert float(last[-2]) * results.feed_t_h == pytest.approx(last[-1])  # type: ignore[arg-type]
    shown = text.markdown(equipment.document(results))
    assert "## Liner cost" in shown and "bought whole" in shown
    assert max(map(len, schedule_text(results).splitlines())) <= 140
