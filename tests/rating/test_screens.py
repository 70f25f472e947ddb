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


def test_karras_area_is_worked_by_hand(rate_plant: Rate) -> None:
    """Karra (1979), as in King (2001), ch. 4, from memory: horizontal 25 mm deck, 25 % over, 40 %
    half-size, 1.6 t/m3. A = 12.13 x 25^0.32 - 10.3 = 23.68, B = 1.3, C = 2.053 x 0.4^0.564 =
    1.2245, F = 1.6/1.602; near size is read from the result, the same fraction of the feed."""
    deck = deck_of(screened(rate_plant, "deck top 25 mm"))
    assert deck.near_size is not None
    near_size_factor = 0.844 * (1.0 - deck.near_size) ** 3.453
    by_hand = 150.0 / (23.68 * 1.3 * 1.2245 * 1.6 / 1.602 * near_size_factor)
    assert deck.area_by_karra_m2 == pytest.approx(by_hand, rel=0.002)


def test_areas_far_apart_are_said_side_by_side(rate_plant: Rate) -> None:
    results = screened(rate_plant, "deck top 25 mm")
    deck = deck_of(results)
    assert deck.area_needed_m2 is not None and deck.area_by_karra_m2 is not None
    assert abs(deck.area_by_karra_m2 - deck.area_needed_m2) > 0.15 * deck.area_by_karra_m2
    assert "s.top" in area_notes(results)[0]
    row = dict(
        zip(
            (column.heading for column in equipment.decks(results).columns),
            equipment.decks(results).rows[0],
            strict=True,
        )
    )
    assert row["area needed"] == deck.area_needed_m2
    assert row["area by Karra"] == deck.area_by_karra_m2


def with_areas(results: Results, needed: float, by_karra: float) -> Results:
    machine = results.machines[0]
    deck = machine.decks[0].model_copy(
        update={"area_needed_m2": needed, "area_by_karra_m2": by_karra, "area_m2": 8.0}
    )
    return results.model_copy(update={"machines": (machine.model_copy(update={"decks": (deck,)}),)})


def test_areas_that_agree_are_not_remarked_on(rate_plant: Rate) -> None:
    results = screened(rate_plant, "deck top 25 mm")
    assert area_notes(with_areas(results, 6.0, 7.0)) == ()  # 14.3 % apart
    assert len(area_notes(with_areas(results, 6.0, 7.5))) == 1  # 20 % apart, both fit 8 m2
    assert "s.top" in area_notes(with_areas(results, 6.0, 9.0))[1]  # only one of them fits


def test_bars_have_no_area_by_karra(rate_plant: Rate) -> None:
    assert deck_of(screened(rate_plant, "deck top 25 mm slotted", BARS)).area_by_karra_m2 is None


def test_a_long_slot_needs_less_area_than_a_short_one(rate_plant: Rate) -> None:
    """Screen makers' association, factor H, from memory: 1.15 for a slot 3 times as long as wide,
    1.20 for one 8 times as long."""
    short, long = (
        deck_of(screened(rate_plant, f"deck top 25 mm slotted {{ slot_ratio {ratio} }}"))
        for ratio in (3, 8)
    )
    assert short.area_needed_m2 is not None and long.area_needed_m2 is not None
    assert short.area_needed_m2 / long.area_needed_m2 == pytest.approx(1.20 / 1.15)
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


def test_damp_rock_on_a_fine_dry_deck_is_warned_of(rate_plant: Rate) -> None:
    """Common practice, no source: under 6 mm and above 3 % moisture, screened dry."""
    fine, coarse = "deck top 4 mm", "deck top 8 mm"
    assert "W0523" in codes_of(screened(rate_plant, fine, moisture="4 %"))
    assert "W0523" not in codes_of(screened(rate_plant, fine))  # the tests' rock holds 2 %
    assert "W0523" not in codes_of(screened(rate_plant, coarse, moisture="4 %"))
    assert "W0523" not in codes_of(screened(rate_plant, f"water spray; {fine}", moisture="4 %"))
