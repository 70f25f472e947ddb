"""Dust of a rated plant, worked by hand from AP-42, table 11.19.2-2 (8/04). Which of its factors
were looked up is said in `tests/models/test_dust.py`."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import pytest

from hoggin.schema.plant import Plant
from hoggin.schema.results import DustResult, Results
from tests.rating.conftest import Rate

PLANT = """
plant "dusty" {
  sieves sieves.quarry
  %HOURS%
  feed f { rock rock; rate 200 t/h; moisture %MOISTURE%
    passing { 250 mm: 100 %, 150 mm: 80 %, 10 mm: 5 % } }
  crusher first: cones.high_speed(head: 1500 mm) { duty secondary; chamber coarse; css 40 mm }
  crusher second: cones.high_speed(head: 1500 mm) { duty tertiary; chamber fine; css 12 mm }
  screen coarse: screens.inclined(width: 1.8 m, length: 4.8 m) { deck top 20 mm }
  screen fine: screens.inclined(width: 1.8 m, length: 4.8 m) { deck top 10 mm; deck bottom 5 mm }
  f -> first -> second -> coarse
  coarse.over -> product stone
  coarse.under -> fine
  fine.top.over -> product chips
  fine.bottom.over -> chips
  fine.under -> product sand
}
"""


def plant(hours: str = "", moisture: str = "1 %") -> str:
    return PLANT.replace("%HOURS%", hours).replace("%MOISTURE%", moisture)


def raised(results: Results, source: str) -> DustResult:
    return next(found for found in results.dust if found.source == source)


def test_each_source_raises_its_factor_times_its_throughput(rate_plant: Rate) -> None:
    """A pound a short ton is half a kilogram a tonne."""
    results = rate_plant(plant())
    screen = raised(results, "coarse")
    assert screen.operation == "screening"
    assert screen.pm_kg_h == pytest.approx(200 * 0.025 / 2)
    assert screen.pm_controlled_kg_h == pytest.approx(200 * 0.0022 / 2)
    assert screen.pm10_kg_h == pytest.approx(200 * 0.0087 / 2)
    assert screen.pm10_controlled_kg_h == pytest.approx(200 * 0.00074 / 2)
    crusher = raised(results, "second")
    assert crusher.operation == "tertiary crushing" and not crusher.upper_limit
    assert crusher.pm10_kg_h == pytest.approx(200 * 0.0024 / 2)
    assert crusher.pm25_controlled_kg_h == pytest.approx(200 * 0.00010 / 2)


@pytest.mark.slow
def test_moist_stone_raises_the_controlled_dust_however_it_is_moist(rate_plant: Rate) -> None:
    """AP-42's controlled sources are those of 1.5 % moisture or more, natural or sprayed (looked up
    in Environment Canada's page on the same factors)."""
    dry, moist = (raised(rate_plant(plant(moisture=m)), "coarse") for m in ("1.4 %", "1.5 %"))
    assert dry.pm_kg_h == pytest.approx(200 * 0.025 / 2)
    assert moist.pm_kg_h == moist.pm_controlled_kg_h == pytest.approx(200 * 0.0022 / 2)
    assert moist.pm10_kg_h == moist.pm10_controlled_kg_h == pytest.approx(200 * 0.00074 / 2)


def test_primary_and_secondary_crushing_have_the_tertiary_factors_as_a_limit(
    rate_plant: Rate,
) -> None:
    crusher = raised(rate_plant(plant()), "first")
    assert crusher.upper_limit
    assert crusher.pm_kg_h == pytest.approx(200 * 0.0054 / 2)


def test_only_what_reaches_a_fine_deck_is_screened_as_fines(rate_plant: Rate) -> None:
    """AP-42's fines are 3/16 in (0.50 cm), from memory. The deck of 10 mm takes its oversize away
    first, which has the factor of screening."""
    results = rate_plant(plant())
    screen = next(m for m in results.machines if m.tag == "fine")
    top, bottom = screen.decks
    found = raised(results, "fine")
    assert found.operation == "screening, in part of fines"
    assert found.fines_t_h == pytest.approx(bottom.feed_t_h)
    by_hand = (top.oversize_t_h * 0.025 + bottom.feed_t_h * 0.30) / 2
    assert found.pm_kg_h == pytest.approx(by_hand)
    # The table has no PM2.5 of fines screening: only the rest has a figure.
    assert found.pm25_controlled_kg_h == pytest.approx(top.oversize_t_h * 0.000050 / 2)


def test_a_screen_of_fines_alone_has_no_dust_to_two_and_a_half_micrometres(
    rate_plant: Rate,
) -> None:
    text = plant().replace("deck top 10 mm; deck bottom 5 mm", "deck top 5 mm; deck bottom 2 mm")
    found = raised(rate_plant(text), "fine")
    assert found.operation == "fines screening"
    assert found.pm25_controlled_kg_h is None


@pytest.mark.slow
def test_dust_does_not_jump_where_a_deck_is_no_longer_fine(rate_plant: Rate) -> None:
    """One class of the table ends at 5 mm, but no plant raises half the dust for 0.1 mm more."""
    dust = []
    for aperture in (4.9, 5.0, 5.1, 5.2):
        text = plant().replace("deck bottom 5 mm", f"deck bottom {aperture} mm")
        dust.append(raised(rate_plant(text), "fine").pm_kg_h)
    changes = [abs(after / before - 1) for before, after in pairwise(dust)]
    assert max(changes) < 0.04


def test_a_coarse_screen_raises_none_as_fines(rate_plant: Rate) -> None:
    assert raised(rate_plant(plant()), "coarse").fines_t_h == 0.0


def test_every_stream_that_falls_is_one_transfer(rate_plant: Rate) -> None:
    results = rate_plant(plant())
    transfers = [found for found in results.dust if found.operation == "transfer"]
    assert [found.source for found in transfers] == [stream.name for stream in results.streams]
    carried = sum(stream.rate_t_h for stream in results.streams)
    assert sum(found.pm_kg_h for found in transfers) == pytest.approx(carried * 0.0030 / 2)


@pytest.mark.slow
def test_a_splitter_or_blend_adds_no_transfer(rate_plant: Rate) -> None:
    """A tonne that falls once is counted once, by hand: whatever points are drawn on its way."""
    straight = rate_plant(plant())
    pointed = rate_plant(
        plant()
        .replace("coarse.over -> product stone", "coarse.over -> meet -> part")
        .replace(
            "f -> first", "blend meet; splitter part { out near 50 %; out far rest }\n  f -> first"
        )
        .replace(
            "-> product sand\n",
            "-> product sand\n  part.near -> product stone; part.far -> product more\n",
        )
    )
    assert pointed.pm_kg_h == pytest.approx(straight.pm_kg_h)


def test_wet_stone_raises_none(rate_plant: Rate) -> None:
    """Common practice, no source: from 5 % moisture on."""
    assert rate_plant(plant(moisture="4.9 %")).pm_kg_h > 0.0
    wet = rate_plant(plant(moisture="6 %"))
    assert wet.pm_kg_h == 0.0 and wet.dust == ()


def test_a_sprayed_screen_raises_none(rate_plant: Rate) -> None:
    text = plant().replace(
        "{ deck top 20 mm }", "{ deck top 20 mm { spray 250 m3/h }; water spray }"
    )
    results = rate_plant(text)
    sources = {found.source for found in results.dust}
    assert "coarse" not in sources
    assert not any(source.startswith("coarse.") for source in sources)  # nor do its wet streams


def test_a_screen_set_to_spray_without_any_raises_what_a_dry_one_does(rate_plant: Rate) -> None:
    """The balance and its area take it as dry, and so is its dust."""
    text = plant().replace("{ deck top 20 mm }", "{ deck top 20 mm; water spray }")
    dry, unsprayed = rate_plant(plant()), rate_plant(text)
    assert raised(unsprayed, "coarse").pm_kg_h == raised(dry, "coarse").pm_kg_h
    assert unsprayed.pm_kg_h == pytest.approx(dry.pm_kg_h, rel=0.01)  # less dust clings


def test_a_crusher_of_fine_product_is_fines_crushing(rate_plant: Rate) -> None:
    """By the product's own P80, to 5 mm (AP-42's 3/16 in, from memory)."""
    text = """
plant "sand" {
  sieves sieves.quarry
  feed f { rock rock; rate 100 t/h; passing { 6 mm: 100 %, 4 mm: 80 %, 1 mm: 20 % } }
  crusher c: cones.high_speed(head: 1500 mm) { duty tertiary; chamber fine; css 12 mm }
  f -> c -> product p
}
"""
    crusher = raised(rate_plant(text), "c")
    assert crusher.operation == "fines crushing"
    assert crusher.pm10_controlled_kg_h == pytest.approx(100 * 0.0012 / 2)


def test_the_plants_hours_reach_the_results_and_are_none_unless_stated(
    rate_plant: Rate, check_plant: Callable[[str], Plant]
) -> None:
    assert rate_plant(plant("operation { hours_per_year 2500 h }")).running_h == pytest.approx(2500)
    assert check_plant(plant()).hours_per_year is None
