"""Lumps against the narrower dimension of what they must pass or lie on.

All limits are common practice, no source: a jaw takes 85 % of the narrower side of its mouth, a pan
or apron 60 % of its width, a belt feeder or conveyor a third, an outlet of a bin a third of its
narrower side, woven wire eight of its openings. The rock is shot rock 0/800, invented.
"""

from __future__ import annotations

import pytest

from hoggin.balancing import rated
from hoggin.schema.results import Check, Results
from tests.check.reading import check_text

_TEXT = """
use std.conveyors
use std.feeders
use std.jaws
use std.screens
use std.sieves

material rock {{ solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 12 kWh/t }}

plant "Lumps" {{
  sieves sieves.quarry
  feed shot {{ rock rock; rate 60 t/h; passing {{ {top} mm: 100 %, {half} mm: 50 %, 10 mm: 5 % }} }}
  {machine}
  {routes}
}}
"""


def _check(machine: str, name: str, top_mm: float = 800.0, deck: str = "") -> Check:
    """The check of a machine `m` with this rock."""
    ways = "shot -> m -> product all"
    if deck:
        ways = f"shot -> m; m.{deck}.over -> product coarse; m.under -> product fine"
    text = _TEXT.format(top=top_mm, half=top_mm / 3, machine=machine, routes=ways)
    found = check_text(text)
    assert found.plant is not None, [one.message for one in found.diagnostics]
    results = rated(found)
    assert isinstance(results, Results)
    one = next(one for one in results.machines if one.tag == "m")
    checks = (*one.checks, *(check for deck in one.decks for check in deck.checks))
    return next(check for check in checks if check.name == name)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("machine", "name", "limit_mm", "code"),
    [
        (
            "crusher m: jaws.single_toggle(gape: 1200 mm, width: 300 mm) { css 100 mm }",
            *("feed opening", 0.85 * 300.0, "W0503"),
        ),
        (
            "crusher m: jaws.single_toggle(gape: 500 mm, width: 900 mm) { css 100 mm }",
            *("feed opening", 0.85 * 500.0, "W0503"),
        ),
        ("feeder m: feeders.belt(width: 500 mm)", "feed opening", 500.0 / 3, "W0550"),
        ("feeder m: feeders.pan(width: 1000 mm)", "feed opening", 600.0, "W0550"),
        ("feeder m: feeders.apron(width: 1200 mm)", "feed opening", 720.0, "W0550"),
        (
            "conveyor m: conveyors.troughed(width: 1000 mm, length: 30 m)",
            *("lumps on the belt", 1000.0 / 3, "W0518"),
        ),
        ("bin m { volume 60 m3; opening 900 mm }", "lumps in the outlet", 300.0, "W0550"),
    ],
)
def test_lumps_over_the_narrower_dimension_are_reported(
    machine: str, name: str, limit_mm: float, code: str
) -> None:
    check = _check(machine, name)
    assert check.limit == pytest.approx(limit_mm)
    assert (check.verdict, check.code) == ("over", code)
    assert _check(machine, name, top_mm=limit_mm).verdict == "ok"  # 98 % passes a little less


def test_a_bin_whose_opening_is_not_stated_is_not_judged() -> None:
    with pytest.raises(StopIteration):
        _check("bin m { volume 60 m3 }", "lumps in the outlet")


def test_lumps_over_eight_openings_break_the_wire_of_a_deck() -> None:
    screen = "screen m: screens.inclined(width: 2 m, length: 5 m) {{ deck top {:g} mm }}"
    check = _check(screen.format(40), "lumps on the deck", deck="top")
    assert check.limit == pytest.approx(8 * 40.0)
    assert (check.verdict, check.code) == ("watch", "W0551")
    assert _check(screen.format(100), "lumps on the deck", deck="top").verdict == "ok"


def test_bars_take_what_wire_does_not() -> None:
    bars = "screen m: screens.grizzly(width: 2 m, length: 4 m) { deck top 80 mm }"
    assert _check(bars, "lumps on the deck", deck="top").verdict == "ok"
