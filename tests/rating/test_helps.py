"""What a finding advises fits the machine and the cause. Law: mass is conserved, so no product
exceeds the feed; the rest follows from what a machine is."""

from __future__ import annotations

import pytest

from hoggin.diagnostics.codes import CODES
from hoggin.schema.results import Results, Warning
from tests.rating.conftest import Rate

_FEED = "feed f { rock rock; rate 200 t/h; passing { 63 mm: 100 %, 31.5 mm: 60 %, 4 mm: 5 % } }"
_PLANT = """
plant "helps" {{
  sieves sieves.quarry
  {feed}
  crusher cone: cones.high_speed(head: 1500 mm) {{ duty tertiary; chamber fine; css {css} mm }}
  f -> cone -> product chips
  {required}
}}
"""


def _warnings(results: Results, code: str) -> list[Warning]:
    return [one for one in results.warnings if one.code == code]


def _plant(css: float = 16, required: str = "") -> str:
    return _PLANT.format(feed=_FEED, css=css, required=required)


def test_a_product_wanted_over_the_feed_says_so(rate_plant: Rate) -> None:
    (found,) = _warnings(rate_plant(_plant(required="require chips.rate >= 250 t/h")), "W0511")
    assert "200 t/h" in found.help and "feed" in found.help


def test_a_share_wanted_of_the_feed_is_not_said_to_be_over_it(rate_plant: Rate) -> None:
    (found,) = _warnings(rate_plant(_plant(required="require chips.p80 <= 1 mm")), "W0511")
    assert "is fed" not in found.help and found.help


def test_a_crusher_that_breaks_nothing_is_reported(rate_plant: Rate) -> None:
    """All rock is finer than 4 mm, the setting is 16 mm: by geometry it falls through."""
    fine = "passing { 4 mm: 100 %, 1 mm: 40 %, 0.25 mm: 5 % }"
    text = _plant().replace("passing { 63 mm: 100 %, 31.5 mm: 60 %, 4 mm: 5 % }", fine)
    (found,) = _warnings(rate_plant(text), "W0552")
    assert "`cone`" in found.text
    assert not _warnings(rate_plant(_plant()), "W0552")


def test_a_belt_is_not_advised_to_open_a_setting(rate_plant: Rate) -> None:
    text = (
        _plant()
        .replace("f -> cone", "conveyor belt: weak()\n  f -> belt -> cone")
        .replace(
            'plant "helps"',
            """class conveyor weak() {
  installed_power 1 kW
  model capacity: trough {
    width 800 mm; middle_roll 300 mm; trough_angle 35 deg; surcharge_angle 20 deg
    travel_speed 1.6 m/s; length 100 m; lift 20 m; fill 80 %
  }
  model belt_power: resistance {
    travel_speed 1.6 m/s; length 100 m; lift 20 m; belt_mass 2000 kg; roll_mass 1500 kg
    friction 0.02; efficiency 90 %
  }
}
plant "helps\"""",
        )
    )
    (found,) = _warnings(rate_plant(text), "W0504")
    assert "setting" not in found.help and "motor" in found.help


@pytest.mark.parametrize("code", sorted(code for code in CODES if code.startswith("W05")))
def test_every_page_of_a_rating_says_what_to_do(code: str) -> None:
    """In its help, or in its page where the help is made for the case."""
    page = CODES[code].__doc__ or ""
    assert CODES[code].remedy or "Right:" in page
