"""What each check compares: the value, its limit and its unit, worked by hand, and the verdict on
either side of the limit. The limits that are rules of the trade are common practice, no source."""

from __future__ import annotations

import pytest

from hoggin.schema.results import Check, Results
from tests.rating.conftest import Rate

PLANT = """
class crusher own() {
  setting css: 5 mm to 200 mm = 40 mm
  model breakage: matrix { k1 0.7 * css; k2 2.2 * css }
  model capacity: rated { rated 200 t/h }
  model power: bond { no_load IDLE kW }
  FACTS
}
material wet { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t
               moisture 6 %; clay 3 % }
plant "one" {
  sieves sieves.quarry
  feed f { rock ROCK; rate RATE t/h
           passing { 250 mm: 100 %, 200 mm: 98 %, 150 mm: 80 %, 75 mm: 40 %, 10 mm: 14 % } }
  crusher c: own() {}
  f -> c -> product p
}
"""


def crusher(
    rate_plant: Rate,
    name: str,
    *,
    rate: float = 100,
    rock: str = "rock",
    idle: float = 1,
    **facts: str,
) -> Check:
    text = PLANT.replace("RATE", f"{rate}").replace("ROCK", rock).replace("IDLE", f"{idle}")
    stated = "; ".join(f"{fact} {value}" for fact, value in facts.items())
    return named(rate_plant(text.replace("FACTS", stated)), name)


def named(results: Results, name: str) -> Check:
    checks = [*results.machines[0].checks]
    checks += [check for deck in results.machines[0].decks for check in deck.checks]
    (found,) = [check for check in checks if check.name == name]
    return found


def compared(check: Check) -> tuple[float, float | None, str]:
    return round(check.value, 6), check.limit, check.unit


@pytest.mark.parametrize(
    ("rate", "verdict"), [(120, "ok"), (189, "ok"), (191, "watch"), (200, "watch"), (201, "over")]
)
def test_a_load_is_near_its_limit_from_95_per_cent_on(
    rate_plant: Rate, rate: float, verdict: str
) -> None:
    check = crusher(rate_plant, "load", rate=rate)
    assert compared(check) == (rate / 2, 100, "%")
    assert check.verdict == verdict


def test_a_chamber_that_is_hardly_fed_is_held_to_its_least_load(rate_plant: Rate) -> None:
    """100 t/h of 200 t/h are 50 %."""
    check = crusher(rate_plant, "load", min_load="60 %")
    assert compared(check) == (50, 60, "%")
    assert check.code == "W0506"
    assert crusher(rate_plant, "load", min_load="49 %").verdict == "ok"


def test_the_largest_feed_is_85_per_cent_of_the_opening(rate_plant: Rate) -> None:
    """98 % of the feed pass 200 mm. 0.85 x 240 mm = 204 mm, and 0.85 x 230 mm = 195.5 mm."""
    check = crusher(rate_plant, "feed opening", feed_opening="240 mm")
    assert compared(check) == (200, 204, "mm")
    assert check.verdict == "ok"
    assert "85 % of the 240 mm opening is 204 mm" in check.text
    assert crusher(rate_plant, "feed opening", feed_opening="230 mm").code == "W0503"


def test_a_largest_feed_that_is_stated_goes_before_the_opening(rate_plant: Rate) -> None:
    check = crusher(rate_plant, "feed opening", feed_opening="240 mm", max_feed_size="199 mm")
    assert (compared(check), check.verdict) == ((200, 199, "mm"), "over")


@pytest.mark.parametrize(("idle", "verdict"), [(88, "ok"), (92, "watch"), (101, "over")])
def test_power_is_near_its_limit_from_90_per_cent_of_the_installed_power_on(
    rate_plant: Rate, idle: float, verdict: str
) -> None:
    """One tonne an hour takes less than a kilowatt: Bond (1952), 10 x 15 x (1 / sqrt 20 000) is
    1.06 kWh/t even from boulders to 20 mm, and less from 150 mm."""
    check = crusher(rate_plant, "installed power", rate=1, idle=idle, installed_power="100 kW")
    assert check.value == pytest.approx(idle + 0.5, abs=0.5)
    assert (check.limit, check.unit, check.verdict) == (100, "kW", verdict)


def test_packing_compares_the_fines_with_a_tenth_and_names_the_clay(rate_plant: Rate) -> None:
    """14 % of the feed pass 10 mm, a quarter of the 40 mm setting."""
    check = crusher(rate_plant, "packing", rock="wet")
    assert compared(check) == (14, 10, "%")
    assert check.code == "W0516"
    for words in (
        "6.0 % moisture",
        "14 % finer than 10 mm",
        "above 4 % moisture",
        "more than 10 %",
    ):
        assert words in check.text
    assert "above 2 % clay fewer fines can; the rock has 3.0 %" in check.text


DECK = """
plant "deck" {
  sieves { 50 mm, 31.25 mm, 18.75 mm, 6.3 mm }
  feed f { rock rock; rate RATE t/h; moisture 4 %
           passing { 50 mm: 100 %, 31.25 mm: 80 %, 18.75 mm: NEAR, 3 mm: 10 % } }
  screen s: screens.horizontal(width: 1.8 m, length: 4.8 m) { deck top APERTURE }
  f -> s
  s.over -> product o
  s.under -> product u
}
"""


def screen(
    rate_plant: Rate, *, rate: float = 200, near: float = 35, aperture: str = "25 mm"
) -> Results:
    text = DECK.replace("RATE", f"{rate}").replace("NEAR", f"{80 - near} %")
    return rate_plant(text.replace("APERTURE", aperture))


@pytest.mark.parametrize(("near", "code"), [(29, None), (31, "W0509")])
def test_near_size_over_30_per_cent_is_reported(
    rate_plant: Rate, near: float, code: str | None
) -> None:
    """Near size is what lies between 0.75 and 1.25 apertures, 18.75 mm and 31.25 mm."""
    check = named(screen(rate_plant, near=near), "near size")
    assert compared(check) == (near, 30, "%")
    assert check.code == code


@pytest.mark.slow
def test_a_bed_is_held_to_its_factor_of_apertures(rate_plant: Rate) -> None:
    """Conservation of mass for the depth: oversize over density, width and the speed of the class,
    0.25 m/s; four apertures at the discharge are common practice, no source."""
    results = screen(rate_plant)
    check = named(results, "bed depth")
    depth_mm = results.products[0].rate_t_h / 3600 / 1.6 / (1.8 * 0.25) * 1000
    assert check.value == pytest.approx(depth_mm, rel=1e-8)
    assert (check.limit, check.unit, check.verdict) == (100, "mm", "ok")
    assert named(screen(rate_plant, rate=800), "bed depth").code == "W0508"


def test_deck_area_compares_its_use_with_all_of_it(rate_plant: Rate) -> None:
    """1.8 m x 4.8 m are 8.64 m2."""
    results = screen(rate_plant)
    deck, check = results.machines[0].decks[0], named(results, "deck area")
    assert deck.area_m2 == pytest.approx(8.64) and deck.area_needed_m2 is not None
    assert check.value == pytest.approx(100 * deck.area_needed_m2 / 8.64, rel=1e-8)
    assert (check.limit, check.unit) == (100, "%")


def test_blinding_compares_moisture_with_3_per_cent(rate_plant: Rate) -> None:
    check = named(screen(rate_plant, aperture="4 mm"), "blinding")
    assert compared(check) == (4, 3, "%")
    assert check.code == "W0523"
    assert "20 % of the openings, screened dry at 4.0 % moisture" in check.text
