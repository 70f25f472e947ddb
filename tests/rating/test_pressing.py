"""The high-pressure roll crusher of the library: what it takes and draws, and when it is over."""

from __future__ import annotations

import pytest

from hoggin.schema.results import MachineResult
from tests.rating.conftest import Rate


def press(
    rate_plant: Rate, settings: str = "", rate: float = 200.0, top: float = 40.0
) -> MachineResult:
    return rate_plant(f"""
use std.rolls
plant "One press, a scenario of our own" {{
  sieves sieves.iso_r20_3
  feed face {{
    rock rock; rate {rate} t/h; tramp 80 mm
    passing {{ {top} mm: 100 %, 12 mm: 45 %, 5 mm: 15 %, 1 mm: 4 % }}
  }}
  crusher c: rolls.high_pressure(diameter: 1200 mm, width: 800 mm) {{ gap 30 mm; {settings} }}
  face -> c -> product all
}}
""").machines[0]


def verdict(machine: MachineResult, name: str) -> str:
    (found,) = (check.verdict for check in machine.checks if check.name == name)
    return found


def test_capacity_is_the_specific_throughput_of_its_rolls(rate_plant: Rate) -> None:
    """By hand: 3600 x 0.030 / 1.2 x 0.85 x 2.7 = 206.55 t s/(h m3), x 1.2 x 0.8 x 1.2."""
    assert press(rate_plant).capacity_t_h == pytest.approx(237.95, abs=0.01)


def test_power_by_hand(rate_plant: Rate) -> None:
    """cos a = (1.23 + sqrt(1.23^2 - 4 x 1.2 x 0.03 x 1.434375)) / 2.4 = 0.988732, sin(a / 2) =
    0.075059: 2 x 3000 x 1.2 x 0.075059 / (3600 x 0.03 x 2.295) = 2.1804 kWh/t. 200 t/h over 92 %
    efficiency are 474.0 kW, and 5 % of 864 kW idle."""
    assert press(rate_plant).power_kw == pytest.approx(474.0 + 43.2, abs=0.2)


def test_within_its_limits_it_is_ok(rate_plant: Rate) -> None:
    machine = press(rate_plant)
    for name in ("load", "installed power", "nip"):
        assert verdict(machine, name) == "ok", name


@pytest.mark.parametrize(
    ("name", "changed"),
    [
        ("load", {"rate": 260.0}),
        (
            "installed power",
            {"rate": 440.0, "settings": "specific_force 6 MPa; peripheral_speed 2.4 m/s"},
        ),
        ("nip", {"top": 60.0}),
        ("tramp relief", {}),  # 80 mm of iron, against 30 mm and a stroke of 36 mm
    ],
)
def test_beyond_a_limit_it_is_over(rate_plant: Rate, name: str, changed: dict[str, object]) -> None:
    assert verdict(press(rate_plant, **changed), name) == "over"  # type: ignore[arg-type]


def test_a_starved_chute_is_told(rate_plant: Rate) -> None:
    assert verdict(press(rate_plant, rate=60.0), "load") == "watch"


def test_it_cautions_on_stored_pressure_and_tramp(rate_plant: Rate) -> None:
    told = " ".join(press(rate_plant).cautions).lower()
    for word in ("accumulators", "tramp", "lock out", "nip", "silica", "licensed practice"):
        assert word in told
