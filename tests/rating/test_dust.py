"""Dust of a rated plant, worked by hand from AP-42, table 11.19.2-2 (8/04). Which of its factors
were looked up is said in `tests/models/test_dust.py`."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from hoggin.schema.plant import Plant
from hoggin.schema.results import DustResult, Results
from tests.rating.conftest import Rate

PLANT = """
plant "dusty" {
  sieves sieves.quarry
  %HOURS%
  feed f { rock rock; rate 200 t/h; passing { 250 mm: 100 %, 150 mm: 80 %, 10 mm: 5 % } }
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


def plant(hours: str = "") -> str:
    return PLANT.replace("%HOURS%", hours)


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


def test_primary_and_secondary_crushing_have_the_tertiary_factors_as_a_limit(
    rate_plant: Rate,
) -> None:
    crusher = raised(rate_plant(plant()), "first")
    assert crusher.upper_limit
    assert crusher.pm_kg_h == pytest.approx(200 * 0.0054 / 2)


def test_a_screen_with_a_deck_to_5_mm_is_fines_screening_of_its_whole_feed(
    rate_plant: Rate,
) -> None:
    """AP-42's fines are 3/16 in (0.50 cm), from memory."""
    results = rate_plant(plant())
    fed = next(m.feed_t_h for m in results.machines if m.tag == "fine")
    screen = raised(results, "fine")
    assert screen.operation == "fines screening"
    assert screen.pm_kg_h == pytest.approx(fed * 0.30 / 2)


def test_every_stream_that_carries_stone_is_one_transfer(rate_plant: Rate) -> None:
    results = rate_plant(plant())
    transfers = [found for found in results.dust if found.operation == "transfer"]
    assert [found.source for found in transfers] == [stream.name for stream in results.streams]
    carried = sum(stream.rate_t_h for stream in results.streams)
    assert sum(found.pm_kg_h for found in transfers) == pytest.approx(carried * 0.0030 / 2)


def test_a_wet_screen_raises_none(rate_plant: Rate) -> None:
    text = plant().replace("{ deck top 20 mm }", "{ deck top 20 mm; water spray }")
    results = rate_plant(text)
    assert "coarse" not in {found.source for found in results.dust}


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
