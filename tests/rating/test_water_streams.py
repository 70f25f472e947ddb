"""Numbers of streams, slurry in them, and streams of water alone."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path

import pytest

import hoggin
from hoggin.schema.results import Results, StreamResult
from tests.rating.conftest import Rate

EXAMPLES = Path(__file__).parents[2] / "examples"
_LINES = """
class pump lifting(flow: 10 m3/h to 1000 m3/h) {
  max_flow flow
  model pump_power: hydraulic { head 20 m; efficiency 50 % }
}
plant "wet" {
  sieves sieves.quarry
  feed f { rock rock; rate 54 t/h; passing { 1 mm: 100 %, 0.063 mm: 60 % } }
  sump s { volume 2 m3; added_water 78.92 m3/h }
  pump p: lifting(flow: 200 m3/h)
  f -> s -> p -> product out
}
"""


def _sand() -> Results:
    return hoggin.load(EXAMPLES / "sand.hog").balance().document


def _stream(results: Results, name: str) -> StreamResult:
    return next(stream for stream in results.streams if stream.name == name)


def test_streams_are_numbered_in_the_order_of_the_flow() -> None:
    streams = _sand().streams
    assert [s.number for s in streams] == [str(n) for n in range(1, len(streams) + 1)]
    assert streams[0].name == "pit_run -> rinsing"


def test_slurry_has_the_volumes_of_its_solids_and_its_water(rate_plant: Rate) -> None:
    """By hand: 54 t/h of 2.7 t/m3 are 20 m3/h; with 80 m3/h of water 100 m3/h of 134 t/h."""
    pumped = _stream(rate_plant(_LINES), "s -> p")
    assert pumped.slurry_m3_h == pytest.approx(100.0)
    assert pumped.pulp_density_t_m3 == pytest.approx(1.34)
    assert pumped.solids == pytest.approx(54 / 134)


def test_damp_rock_is_no_slurry(rate_plant: Rate) -> None:
    fed = _stream(rate_plant(_LINES), "f -> s")
    assert fed.water_m3_h > 0
    assert fed.slurry_m3_h is fed.pulp_density_t_m3 is None


def test_rock_is_slurry_from_where_water_fills_its_voids(rate_plant: Rate) -> None:
    """By hand: 54 t/h of rock are 20 m3/h without and 33.75 m3/h with the voids, at 1.6 t/m3."""
    held = 54 / 1.6 - 54 / 2.7 - 1.08  # what the rock brings is 2 % of it
    for share, slurry in ((0.99, False), (1.01, True)):
        text = _LINES.replace("78.92", f"{held * share:.6f}")
        assert (_stream(rate_plant(text), "s -> p").slurry_m3_h is not None) is slurry


def test_process_water_gives_what_it_gets() -> None:
    """Conservation of mass: what is sprayed and added is what comes back and what makes it up."""
    results = _sand()
    kinds: defaultdict[str, float] = defaultdict(float)
    for water in results.water_streams:
        kinds[water.kind] += water.water_m3_h
        assert "process water" in (water.source, water.target)
    assert kinds["spray"] == pytest.approx(80 + 90)
    assert kinds["dilution"] == pytest.approx(10)
    assert kinds["make-up"] + kinds["return"] == pytest.approx(180)
    overflow = _stream(results, "settler.overflow -> clear_water").water_m3_h
    assert kinds["return"] == pytest.approx(0.9 * overflow)  # as the class says


def test_water_streams_have_numbers_of_their_own() -> None:
    numbers = [water.number for water in _sand().water_streams]
    assert numbers == ["W1", "W2", "W3", "W4", "W5"]


@pytest.mark.slow
def test_a_dry_plant_has_no_water_streams() -> None:
    assert hoggin.load(EXAMPLES / "quarry.hog").balance().document.water_streams == ()
