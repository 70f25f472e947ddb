"""A metal detector stops the belt: how often and how long, over time. Worked by hand."""

from __future__ import annotations

import pytest
from tests.check.reading import check_text

from hoggin.balancing import rated
from hoggin.schema.results import Results
from hoggin.studies.simulate.building import built
from hoggin.studies.simulate.calendar import Clock
from hoggin.studies.simulate.line import Failing
from hoggin.studies.simulate.operate import Question, operated

_TEXT = """
use std.sieves
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 12 kWh/t }
class metal_detector sharp() {
  detected_size  40 mm
  detected_share 80 %
  clearing       30 min
  model capacity: layer { width 800 mm; depth 200 mm; travel_speed 1 m/s }
}
plant "Stopped for tramp" {
  sieves sieves.quarry
  feed pit {
    rock rock; rate 100 t/h; passing { 150 mm: 100 %, 22.4 mm: 0 % }
    tramp TRAMP; tramp_every 4 h
  }
  metal_detector finder: sharp()
  pit -> finder -> product stone
}
"""


_HOUR = Clock("1 h", ((0.0, 1.0),))


def _failing(tramp: str) -> tuple[Failing, ...]:
    checked = check_text(_TEXT.replace("TRAMP", tramp))
    results = rated(checked)
    assert checked.plant is not None and isinstance(results, Results)
    return built(checked.plant, results, _HOUR).line.failing


def test_it_stops_for_the_share_of_pieces_that_it_finds() -> None:
    """By hand: a piece in 4 h, of which it finds 8 in 10: a stop in 5 h, half an hour long."""
    (one,) = _failing("90 mm")
    assert one.tag == "finder"
    assert one.failures_per_h == pytest.approx(1 / 5)
    assert one.repair_h == pytest.approx(0.5)
    assert one.availability == pytest.approx(5 / 5.5)


def test_its_own_failures_and_the_metal_it_finds_are_told_apart() -> None:
    found = check_text(
        _TEXT.replace("TRAMP", "90 mm").replace(
            "finder: sharp()", "finder: sharp() { operation { availability 95 %; repair 1 h } }"
        )
    )
    results = rated(found)
    assert found.plant is not None and isinstance(results, Results)
    shown = operated(found.plant, results, Question("1 h", runs=2, compared=False)).repairs
    assert [(one.tag, one.cause) for one in shown] == [
        ("finder", "failure"),
        ("finder", "metal found"),
    ]


def test_it_does_not_stop_for_pieces_too_small_to_see() -> None:
    assert _failing("30 mm") == ()
