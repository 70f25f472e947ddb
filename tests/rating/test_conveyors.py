"""Conveyors of a rated plant against ISO 5048 worked by hand (equations from memory)."""

from __future__ import annotations

from math import cos, radians, sin, tan

import pytest

from hoggin.schema.results import MachineResult, Results
from tests.rating.conftest import Rate

PLANT = """
use std.conveyors
plant "carried" {
  sieves sieves.quarry
  feed f { rock rock; rate %RATE% t/h; passing { %TOP% mm: 100 %, 10 mm: 20 % } }
  conveyor b: conveyors.troughed(width: 1000 mm, length: 100 m, lift: %LIFT% m) {
    travel_speed 2 m/s; trough_angle 30 deg; surcharge_angle 15 deg
  }
  f -> b -> product p
  require b.load <= 60 %
  require b.power <= 20 kW and b.specific_energy <= 0.06 kWh/t and plant.power <= 20 kW
}
"""


def plant(rate: float = 360, lift: float = 10, top: float = 100) -> str:
    text = PLANT.replace("%RATE%", str(rate)).replace("%LIFT%", str(lift))
    return text.replace("%TOP%", str(top))


def conveyor(results: Results) -> MachineResult:
    return results.machines[0]


def codes(results: Results) -> set[str]:
    return {warning.code for warning in results.warnings}


def test_what_runs_in_runs_out_unchanged(rate_plant: Rate) -> None:
    """Conservation of mass, size by size."""
    into, out = rate_plant(plant()).streams
    assert out.rate_t_h == pytest.approx(360) and out.passing == pytest.approx(into.passing)


def test_load_is_feed_over_the_section_at_its_speed(rate_plant: Rate) -> None:
    """ISO 5048 (1989), from memory, by hand: b = 0.85 m, middle roll 0.385 m as the class states,
    80 % filled, 1.6 t/m3, level."""
    machine = conveyor(rate_plant(plant(lift=0)))
    slant = 0.85 - 0.385
    top = 0.385 + slant * cos(radians(30))
    section = top**2 * tan(radians(15)) / 6
    section += (0.385 + slant / 2 * cos(radians(30))) * slant / 2 * sin(radians(30))
    assert machine.belt is not None and machine.belt.slope_factor == pytest.approx(1)
    assert machine.belt.section_m2 == pytest.approx(section)
    assert machine.load == pytest.approx(360 / (section * 2 * 3600 * 1.6 * 0.8))


def test_power_carries_the_rocks_water_too(rate_plant: Rate) -> None:
    """ISO 5048 (1989), from memory, by hand: 360 t/h with 2 % water is 51 kg/m at 2 m/s; belt
    24 kg/m, rolls 18 kg/m as the class states; C 1.78, f 0.02, efficiency 90 %."""
    machine = conveyor(rate_plant(plant()))
    cosine = (1 - 0.1**2) ** 0.5
    pull = 1.78 * 0.02 * 100 * 9.81 * (18 + (24 + 51) * cosine) + 51 * 10 * 9.81
    assert machine.belt is not None
    assert machine.belt.rock_kg_m == pytest.approx(51)
    assert machine.belt.pull_n == pytest.approx(pull, rel=1e-8)
    assert machine.power_kw == pytest.approx(pull * 2 / 0.9 / 1000, rel=1e-8)


def test_the_motor_is_the_next_of_the_series(rate_plant: Rate) -> None:
    """IEC 60072-1 sizes from memory: 18.2 kW and 15 % is 20.9, so 22 kW."""
    drive = conveyor(rate_plant(plant())).drive
    assert drive is not None and drive.motor_kw == 22


def test_power_of_conveyors_is_power_of_the_plant(rate_plant: Rate) -> None:
    results = rate_plant(plant())
    assert results.power_kw == conveyor(results).power_kw
    assert all(requirement.met for requirement in results.requirements)


def test_too_much_rock_is_told(rate_plant: Rate) -> None:
    assert "W0501" in codes(rate_plant(plant(rate=1500)))


def test_lumps_over_a_third_of_the_belts_width_are_told(rate_plant: Rate) -> None:
    """A third of 1000 mm is 333 mm (common practice, no source)."""
    assert "W0518" in codes(rate_plant(plant(top=400)))
    assert "W0518" not in codes(rate_plant(plant(top=320)))


def test_a_belt_steeper_than_18_degrees_is_told(rate_plant: Rate) -> None:
    """sin 18 = 0.309 (the angle is common practice, no source)."""
    assert "W0519" in codes(rate_plant(plant(lift=31.5)))
    assert "W0519" not in codes(rate_plant(plant(lift=30.5)))


def test_a_class_of_ones_own_may_state_its_capacity(rate_plant: Rate) -> None:
    own = """
class conveyor flat(length: m) {
  model capacity: rated { rated 500 t/h }
  model belt_power: resistance {
    travel_speed 1 m/s; length length; lift 0 m; belt_mass 1 t; roll_mass 1 t
  }
}
"""
    text = own + plant().replace(
        "conveyors.troughed(width: 1000 mm, length: 100 m, lift: 10 m) {\n"
        "    travel_speed 2 m/s; trough_angle 30 deg; surcharge_angle 15 deg\n  }",
        "flat(length: 50 m)",
    ).replace("use std.conveyors\n", "")
    machine = conveyor(rate_plant(text))
    assert machine.load == pytest.approx(360 / 500)
    assert machine.belt is not None and machine.belt.section_m2 is None
