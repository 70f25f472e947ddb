"""Pumps, sumps and thickeners of a rated plant, worked by hand."""

from __future__ import annotations

import pytest

from hoggin.schema.results import Check, MachineResult, Results
from tests.rating.conftest import Rate

_CLASSES = """
class pump lifting(flow: 10 m3/h to 1000 m3/h) {
  max_flow flow
  installed_power 30 kW
  model pump_power: hydraulic { head 20 m; efficiency 50 % }
}
class thickener clear(surface: 1 m2 to 1000 m2, reused: 0 % to 100 % = 80 %) {
  surface surface
  max_rise_rate 2 m/h
  retained_moisture 150 %
  water_reused reused
  model partition: settling { d50 0.01 mm; sharpness 2; bypass 95 % }
  model capacity: settling {
    surface surface; interface_speed 1 m/h; test_solids 10 %; underflow_solids 40 %
  }
}
"""
_FEED = "feed f { rock rock; rate 54 t/h; passing { 1 mm: 100 %, 0.063 mm: 60 % } }"


def _plant(lines: str) -> str:
    return f'{_CLASSES}plant "wet" {{ sieves sieves.quarry; {_FEED}\n{lines} }}'


def _machine(results: Results, tag: str) -> MachineResult:
    return next(machine for machine in results.machines if machine.tag == tag)


def _check(results: Results, tag: str, name: str) -> Check:
    return next(check for check in _machine(results, tag).checks if check.name == name)


_PUMPED = "sump s { volume VOLUME; added_water 78.92 m3/h }; pump p: lifting(flow: FLOW)"


def _pumped(volume: str = "2 m3", flow: str = "200 m3/h") -> str:
    lines = _PUMPED.replace("VOLUME", volume).replace("FLOW", flow)
    return _plant(f"{lines}; f -> s -> p -> product out")


def test_a_sump_and_its_pump_see_the_same_slurry(rate_plant: Rate) -> None:
    """By hand: 54 t/h of 2.7 t/m3 are 20 m3/h, its 2 % moisture and the water put in 80 m3/h:
    100 m3/h of 1.34 t/m3, 54 / 134 solids."""
    results = rate_plant(_pumped())
    for tag in ("s", "p"):
        found = _machine(results, tag).slurry
        assert found is not None
        assert found.flow_m3_h == pytest.approx(100.0)
        assert found.density_t_m3 == pytest.approx(1.34)
        assert found.solids_share == pytest.approx(54 / 134)


def test_a_pump_draws_the_power_that_lifts_it(rate_plant: Rate) -> None:
    """By hand: 134 t/h x 9.80665 m/s2 x 20 m / 3600 s/h / 0.5 = 14.60 kW; so does the plant."""
    results = rate_plant(_pumped())
    pump = _machine(results, "p")
    assert pump.power_kw == pytest.approx(134 * 9.80665 * 20 / 3600 / 0.5)
    assert results.power_kw == pump.power_kw
    assert pump.drive is not None and pump.drive.motor_kw == 30  # as its class states


def test_a_sump_holds_its_volume_over_the_flow(rate_plant: Rate) -> None:
    """By hand: 2 m3 / 100 m3/h = 1.2 min; 1.5 m3 hold 0.9 min, under the minute wanted."""
    results = rate_plant(_pumped())
    found = _machine(results, "s").slurry
    assert found is not None and found.residence_h == pytest.approx(0.02)
    assert _check(results, "s", "residence time").verdict == "ok"
    short = _check(rate_plant(_pumped(volume="1.5 m3")), "s", "residence time")
    assert (short.verdict, short.code) == ("over", "W0533")


@pytest.mark.parametrize(("flow", "verdict"), [("200", "ok"), ("101", "watch"), ("99", "over")])
def test_a_pump_is_held_to_the_flow_it_passes(rate_plant: Rate, flow: str, verdict: str) -> None:
    check = _check(rate_plant(_pumped(flow=f"{flow} m3/h")), "p", "pump flow")
    assert check.verdict == verdict


def test_limits_of_equal_pumps_and_thickeners_are_those_of_each(rate_plant: Rate) -> None:
    """100 m3/h through two pumps of 40 m3/h each; two thickeners of 135 m2 share the load."""
    pumped = _pumped().replace("flow: 200 m3/h)", "flow: 40 m3/h) { count 2 }")
    flow = _check(rate_plant(pumped), "p", "pump flow")
    assert flow.text.startswith("each of 2: 50 m3/h of slurry")
    assert flow.value == pytest.approx(50.0)
    surface = "clear(surface: 135 m2) { count 2 }"
    thickened = rate_plant(_thickened().replace("clear(surface: 300 m2)", surface))
    assert _check(thickened, "t", "surface").text.startswith("each of 2: ")


def test_help_for_a_thickener_is_about_settling(rate_plant: Rate) -> None:
    (warning,) = [w for w in rate_plant(_thickened()).warnings if w.code == "W0501"]
    assert "settling test" in warning.help and "setting," not in warning.help


_THICKENED = """
sump s { added_water 538.92 m3/h }
thickener t: clear(surface: SURFACE)
f -> s -> t; t.underflow -> product mud; t.overflow -> product water
"""


def _thickened(surface: str = "300 m2", lines: str = "") -> str:
    return _plant(_THICKENED.replace("SURFACE", surface) + lines)


def test_a_thickener_conserves_solids_and_water(rate_plant: Rate) -> None:
    results = rate_plant(_thickened())
    streams = {stream.outlet: stream for stream in results.streams if stream.source == "t"}
    below, above = streams["underflow"], streams["overflow"]
    assert below.rate_t_h + above.rate_t_h == pytest.approx(54.0)
    assert below.water_m3_h + above.water_m3_h == pytest.approx(540.0)
    assert below.moisture == pytest.approx(1.5)  # 40 % of solids
    assert above.rate_t_h < 0.05 * 54.0  # what neither flocs catch nor size settles


def test_the_surface_is_for_what_settles_and_for_what_rises(rate_plant: Rate) -> None:
    """By hand: test and underflow hold 9 and 1.5 t of water a tonne; 7.5 t rise at 1 m/h, so 54 t/h
    need 405 m2. The overflow, 540 t/h less 1.5 t a tonne of underflow, needs half its m3/h."""
    found = _machine(rate_plant(_thickened()), "t")
    assert found.load == pytest.approx(405 / 300)
    thickener = found.thickener
    assert thickener is not None
    assert thickener.surface_needed_m2 == pytest.approx(405.0)
    assert thickener.underflow_solids == pytest.approx(0.4)
    wet = rate_plant(_thickened().replace("538.92", "1198.92"))
    risen = _machine(wet, "t").thickener
    assert risen is not None and risen.surface_needed_m2 == pytest.approx(risen.overflow_m3_h / 2)
    assert _check(wet, "t", "surface").code == "W0534"


def test_reused_water_is_taken_off_the_water_added(rate_plant: Rate) -> None:
    results = rate_plant(_thickened(lines="require plant.fresh_water <= 200 m3/h"))
    thickener, water = _machine(results, "t").thickener, results.water
    assert thickener is not None and water is not None
    assert water.reused_m3_h == pytest.approx(0.8 * thickener.overflow_m3_h)
    assert water.fresh_m3_h == pytest.approx(538.92 - water.reused_m3_h)
    assert results.requirements[0].value == pytest.approx(water.fresh_m3_h)


def test_slurry_raises_no_dust(rate_plant: Rate) -> None:
    results = rate_plant(_thickened())
    assert [source.source for source in results.dust] == []
