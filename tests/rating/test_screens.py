"""Decks: both area methods side by side, slots, and blinding by damp fines."""

from __future__ import annotations

import pytest

from hoggin.report import equipment
from hoggin.report.screens import area_notes
from hoggin.schema.results import DeckResult, Results
from tests.check.reading import codes, small_plant
from tests.rating.conftest import Rate

SCREEN = """
plant "One deck, a scenario of our own" {
  sieves { 50 mm, 25 mm, 12.5 mm, 6.3 mm, 3.15 mm }
  feed f { rock rock; rate 200 t/h
           passing { 50 mm: 100 %, 25 mm: 75 %, 12.5 mm: 40 %, 3 mm: 10 % } }
  screen s: screens.CLASS { DECK }
  f -> s
  s.over -> product o
  s.under -> product u
}
"""
HORIZONTAL = "horizontal(width: 1.8 m, length: 4.8 m)"
BARS = "grizzly(width: 1.5 m, length: 3 m)"
DAMP = """
material damp { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t
                moisture MOISTURE }
"""


def screened(
    rate_plant: Rate, deck: str, of_class: str = HORIZONTAL, moisture: str = ""
) -> Results:
    text = SCREEN.replace("CLASS", of_class).replace("DECK", deck)
    if moisture:
        text = text.replace("rock rock", "rock damp") + DAMP.replace("MOISTURE", moisture)
    return rate_plant(text)


def deck_of(results: Results) -> DeckResult:
    return results.machines[0].decks[0]


def codes_of(results: Results) -> set[str]:
    return {warning.code for warning in results.warnings}


def test_the_area_needed_is_the_stricter_of_two_methods(rate_plant: Rate) -> None:
    results = screened(rate_plant, "deck top 25 mm")
    deck = deck_of(results)
    assert deck.area_by_tables_m2 is not None and deck.area_by_partition_m2 is not None
    assert deck.area_needed_m2 == max(deck.area_by_tables_m2, deck.area_by_partition_m2)
    assert "The tables have no factor for near-size rock" in area_notes(results)[0]
    row = dict(
        zip(
            (column.heading for column in equipment.decks(results).columns),
            equipment.decks(results).rows[0],
            strict=True,
        )
    )
    assert row["area by tables"] == deck.area_by_tables_m2
    assert row["area by partition"] == deck.area_by_partition_m2


@pytest.mark.parametrize("rate", [60, 120, 240, 480, 960])
def test_a_deck_is_over_its_area_just_where_it_passes_less_than_its_class_asks(
    rate_plant: Rate, rate: int
) -> None:
    """One verdict: 80 % of the undersize is the least of a sizing screen of the library."""
    text = SCREEN.replace("CLASS", HORIZONTAL).replace("DECK", "deck top 25 mm")
    deck = deck_of(rate_plant(text.replace("rate 200 t/h", f"rate {rate} t/h")))
    assert deck.area_by_partition_m2 is not None and deck.undersize_efficiency is not None
    assert (deck.area_by_partition_m2 > deck.area_m2) == (deck.undersize_efficiency < 0.80)
    (check,) = [check for check in deck.checks if check.name == "deck area"]
    if deck.undersize_efficiency < 0.80:
        assert check.verdict == "over"


def test_bars_are_sized_by_tables_alone(rate_plant: Rate) -> None:
    bars = deck_of(screened(rate_plant, "deck top 25 mm slotted", BARS))
    assert bars.area_by_partition_m2 is None
    assert bars.area_needed_m2 == bars.area_by_tables_m2


def test_a_long_slot_needs_less_area_than_a_short_one(rate_plant: Rate) -> None:
    """Screen makers' association, factor H, from memory: 1.15 for a slot 3 times as long as wide,
    1.20 for one 8 times as long."""
    short, long = (
        deck_of(screened(rate_plant, f"deck top 25 mm slotted {{ slot_ratio {ratio} }}"))
        for ratio in (3, 8)
    )
    assert short.area_by_tables_m2 is not None and long.area_by_tables_m2 is not None
    assert short.area_by_tables_m2 / long.area_by_tables_m2 == pytest.approx(1.20 / 1.15)
    assert long.slot_ratio == 8.0


def test_a_slot_ratio_is_for_slots_of_a_possible_length() -> None:
    def found(deck: str) -> list[str]:
        screen = f"screen s: screens.{HORIZONTAL} {{ {deck} }}"
        routes = "rock -> s\ns.over -> product o\ns.under -> product u"
        reported = codes(small_plant(f"{screen}\n{routes}"))
        return [code for code in reported if code != "W0101"]  # libraries that are not used

    assert found("deck top 25 mm slotted { slot_ratio 4 }") == []
    assert found("deck top 25 mm square { slot_ratio 4 }") == ["E0405"]
    assert found("deck top 25 mm slotted { slot_ratio 0.5 }") == ["E0306"]


@pytest.mark.slow
def test_damp_rock_on_a_fine_dry_deck_is_warned_of(rate_plant: Rate) -> None:
    """Common practice, no source: under 12 mm and above 3 % moisture, screened dry."""
    fine, coarse = "deck top 4 mm", "deck top 16 mm"
    assert "W0523" in codes_of(screened(rate_plant, fine, moisture="4 %"))
    assert "W0523" not in codes_of(screened(rate_plant, fine))  # the tests' rock holds 2 %
    assert "W0523" not in codes_of(screened(rate_plant, coarse, moisture="4 %"))
    assert "W0523" in codes_of(screened(rate_plant, f"water spray; {fine}", moisture="4 %"))
    sprayed = f"water spray; {fine} {{ spray 50 m3/h }}"
    assert "W0523" not in codes_of(screened(rate_plant, sprayed, moisture="4 %"))


def test_what_damp_fines_close_is_missing_in_the_area_of_both_methods(rate_plant: Rate) -> None:
    """The methods page, by hand: of 9 mm openings at 6 % moisture 30 % are closed, so both methods
    need 1 / 0.7 times the area, and the partition a little more, for the dust that clings."""
    dry, damp = (
        deck_of(screened(rate_plant, "deck top 9 mm", moisture=moisture))
        for moisture in ("0 %", "6 %")
    )
    assert dry.area_by_tables_m2 and damp.area_by_tables_m2
    assert dry.area_by_partition_m2 and damp.area_by_partition_m2
    assert damp.area_by_tables_m2 / dry.area_by_tables_m2 == pytest.approx(1 / 0.7)
    assert damp.area_by_partition_m2 / dry.area_by_partition_m2 == pytest.approx(1 / 0.7, rel=0.05)
    assert damp.area_by_partition_m2 > dry.area_by_partition_m2 / 0.7
    (check,) = [check for check in damp.checks if check.name == "blinding"]
    assert check.verdict == "watch" and "close some 30 % of the openings" in check.text
