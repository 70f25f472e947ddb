"""Tramp metal ends at a magnet: crushers that it can reach only through one are not checked for it.

What a magnet does is common practice, no source.
"""

from __future__ import annotations

import pytest

from hoggin.balancing import rated
from hoggin.graph import reached
from hoggin.rating.tramp import arriving_tramp
from hoggin.schema.plant import Plant
from hoggin.schema.results import Results
from tests.check.reading import check_text

_TEXT = """
use std.cones
use std.magnets
use std.sieves

material rock {{ solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 12 kWh/t }}

plant "Magnet" {{
  sieves sieves.quarry
  feed pit  {{ rock rock; rate 60 t/h; passing {{ 150 mm: 100 %, 22.4 mm: 0 % }}; tramp 200 mm }}
  feed yard {{ rock rock; rate 40 t/h; passing {{ 150 mm: 100 %, 22.4 mm: 0 % }}; tramp 80 mm }}
  blend meeting
  magnet taker: magnets.suspended(width: 1000 mm)
  crusher cone: cones.low_speed_secondary(head: 1350 mm) {{ css 32 mm }}
  {routes}
}}
"""
_ROUTES = {
    "no magnet works": "pit -> meeting; yard -> meeting -> cone -> taker -> product sand",
    "before the crusher": "pit -> meeting; yard -> meeting -> taker -> cone -> product sand",
    "of one feed": "pit -> taker -> meeting; yard -> meeting -> cone -> product sand",
}
_ARRIVES = {"no magnet works": 200.0, "before the crusher": None, "of one feed": 80.0}


def _plant(case: str) -> Plant:
    checked = check_text(_TEXT.format(routes=_ROUTES[case]))
    assert checked.plant is not None, [one.message for one in checked.diagnostics]
    return checked.plant


@pytest.mark.parametrize("case", _ROUTES)
def test_only_tramp_that_a_way_past_all_magnets_brings_arrives(case: str) -> None:
    assert arriving_tramp(_plant(case)).get("cone") == _ARRIVES[case]


@pytest.mark.parametrize("case", _ROUTES)
def test_what_arrives_is_what_a_plant_without_the_magnets_outlets_brings(case: str) -> None:
    """The same, by cutting the drawing: reach of each feed where a magnet has no way on."""
    plant = _plant(case)
    cut: dict[str, list[str]] = {}
    for stream in plant.streams:
        if stream.source != "taker":
            cut.setdefault(stream.source, []).append(stream.target)
    reach = [f.tramp_mm for f in plant.feeds if f.tramp_mm and "cone" in reached([f.tag], cut)]
    assert max(reach, default=None) == arriving_tramp(plant).get("cone")


@pytest.mark.parametrize("case", _ROUTES)
def test_the_crusher_is_checked_where_tramp_arrives(case: str) -> None:
    checked = check_text(_TEXT.format(routes=_ROUTES[case]))
    results = rated(checked)
    assert isinstance(results, Results)
    cone = next(machine for machine in results.machines if machine.tag == "cone")
    found = [check.code for check in cone.checks if check.name == "tramp relief"]
    assert found == ([] if _ARRIVES[case] is None else ["W0505"])


def test_a_magnet_hands_the_rock_on_as_it_is_and_shows_its_cautions() -> None:
    results = rated(check_text(_TEXT.format(routes=_ROUTES["before the crusher"])))
    assert isinstance(results, Results)
    streams = {stream.source: stream for stream in results.streams}
    assert streams["taker"].passing == streams["meeting"].passing
    assert streams["taker"].rate_t_h == pytest.approx(100.0)
    taker = next(machine for machine in results.machines if machine.tag == "taker")
    said = " ".join(taker.cautions).lower()
    assert all(word in said for word in ("magnetic field", "pinch", "pacemaker", "lock out"))
