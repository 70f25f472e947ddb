"""Idle power and capacity of the library's classes against the laws they follow."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.stdlib.test_setting_rules import capacity_t_h

from hoggin.check.checker import check_file
from hoggin.schema.plant import Machine

PLANT = """
use std.jaws
use std.gyratories
use std.rolls
use std.sieves
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }
plant "One crusher, a scenario of our own" {
  sieves sieves.iso_r20_3
  feed face { rock rock; rate 100 t/h; passing { 300 mm: 100 %, 100 mm: 40 %, 5 mm: 2 % } }
  crusher c: %CRUSHER%
  face -> c -> product all
}
"""
GYRATORY = "gyratories.primary(gape: 1070 mm, mantle: 1650 mm)"


def crusher(folder: Path, text: str) -> Machine:
    path = folder / "plant.hog"
    path.write_text(PLANT.replace("%CRUSHER%", text))
    found = check_file(path)
    assert found.plant is not None, [d.message for d in found.diagnostics]
    return found.plant.machines[0]


def no_load_kw(machine: Machine) -> float:
    return machine.models["power"].coefficients["no_load"]


@pytest.mark.parametrize(
    ("machine", "speeds"),
    [
        ("jaws.single_toggle(gape: 1100 mm, width: 1300 mm) { css 130 mm;", (180, 270)),
        ("jaws.double_toggle(gape: 1100 mm, width: 1300 mm) { css 130 mm;", (160, 240)),
        (GYRATORY + " { css 140 mm;", (100, 150)),
        ("rolls.smooth_double(diameter: 1000 mm, width: 800 mm) { gap 20 mm;", (2, 3)),
    ],
)
def test_idle_power_rises_with_speed_as_of_a_constant_torque(
    tmp_path: Path, machine: str, speeds: tuple[int, int]
) -> None:
    """Mechanics: power is torque times speed, so half as fast again draws half as much again."""
    turning = "peripheral_speed {} m/s" if "rolls" in machine else "speed {} rpm"
    slow, fast = (crusher(tmp_path, f"{machine} {turning.format(speed)} }}") for speed in speeds)
    assert no_load_kw(fast) == pytest.approx(1.5 * no_load_kw(slow))


def test_a_gyratory_takes_more_as_it_turns_faster_up_to_where_rock_must_fall(
    tmp_path: Path,
) -> None:
    """Rose & English (1967), from memory: by stroke alone capacity goes as the speed. It had no
    such limit, and would have taken most at a standstill."""
    slow, usual, fast, fastest = (
        capacity_t_h(crusher(tmp_path, f"{GYRATORY} {{ css 140 mm; speed {speed} rpm }}"))
        for speed in (80, 120, 160, 180)
    )
    assert usual == pytest.approx(1.5 * slow) and fast == pytest.approx(2 * slow)
    assert fastest < fast * 180 / 160
