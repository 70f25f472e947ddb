"""The cone generations: what tells them apart, how they are set, and what speed and filling do.

What the trade takes for granted is marked as common practice, no source. The directions in which
speed acts are those of Evertsson (2000) and Bengtsson & Evertsson (2006), from memory; of their
sizes nothing is claimed.
"""

from __future__ import annotations

from math import radians, sin
from pathlib import Path

import numpy as np
import pytest
from tests.stdlib.test_setting_rules import capacity_t_h, product_passing

from hoggin.check.checker import Checked, check_file
from hoggin.check.library import load_library
from hoggin.check.records import lines_of
from hoggin.models import catalog
from hoggin.schema.plant import Machine

PLANT = """
use std.cones
use std.sieves
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }
plant "One cone, a scenario of our own" {
  sieves sieves.iso_r20_3
  feed face { rock rock; rate 100 t/h; passing { 60 mm: 100 %, 20 mm: 40 %, 5 mm: 10 % } }
  crusher c: cones.CLASS(head: 1300 mm) { SETTINGS }
  face -> c -> product all
}
"""
SPEEDS = {  # rpm, slowest and fastest of the class
    "low_speed_secondary": (450, 520),
    "low_speed_tertiary": (450, 520),
    "medium_speed": (700, 750),
    "high_speed": (1000, 1200),
    "supported_shaft": (750, 950),
    "bowl_and_shaft": (850, 1050),
}
GENERATIONS = list(SPEEDS)
CONVERTIBLE = [name for name in GENERATIONS if not name.startswith("low_speed")]
THREADED = [name for name in GENERATIONS if name != "supported_shaft"]


def check(folder: Path, class_name: str, settings: str) -> Checked:
    path = folder / "plant.hog"
    path.write_text(PLANT.replace("CLASS", class_name).replace("SETTINGS", settings))
    return check_file(path)


def cone(folder: Path, class_name: str, settings: str = "") -> Machine:
    given = f"css 20 mm; {settings}"
    if class_name in CONVERTIBLE and "duty" not in settings:
        given += "; duty tertiary"
    found = check(folder, class_name, given)
    assert found.plant is not None, [d.message for d in found.diagnostics]
    return found.plant.machines[0]


def at_both_speeds(folder: Path, name: str, settings: str = "") -> tuple[Machine, Machine]:
    slow, fast = (cone(folder, name, f"speed {rpm} rpm; {settings}") for rpm in SPEEDS[name])
    return slow, fast


# --- separate and convertible machines ---------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "duty", "other"),
    [
        ("low_speed_secondary", "tertiary", "low_speed_tertiary"),
        ("low_speed_tertiary", "secondary", "low_speed_secondary"),
    ],
)
def test_a_slow_machine_is_not_converted_to_the_other_duty(
    tmp_path: Path, name: str, duty: str, other: str
) -> None:
    """Secondary and tertiary machines of this generation are separate: common practice, no
    source."""
    found = check(tmp_path, name, f"css 20 mm; duty {duty}; chamber fine")
    assert found.plant is None
    (told,) = [d for d in found.diagnostics if d.code == "E0405"]
    assert "separate machines" in told.message
    assert other in told.message


def test_a_slow_machine_shows_the_duty_it_is_built_for(tmp_path: Path) -> None:
    for duty in ("secondary", "tertiary"):
        machine = cone(tmp_path, f"low_speed_{duty}")
        assert [s.text for s in machine.settings if s.name == "duty"] == [duty]


@pytest.mark.parametrize("name", CONVERTIBLE)
def test_a_convertible_machine_names_another_liner_set_for_each_chamber_and_duty(
    tmp_path: Path, name: str
) -> None:
    """Converted by liners, not by another machine: common practice, no source."""
    asked = ("duty secondary; chamber coarse", "duty secondary; chamber medium",
             "duty tertiary; chamber medium", "duty tertiary; chamber fine")  # fmt: skip
    sets = [cone(tmp_path, name, settings).traits["liner_set"] for settings in asked]
    assert len(set(sets)) == len(asked)
    for settings, liners in zip(asked, sets, strict=True):
        _, duty, _, chamber = settings.replace(";", "").split()
        assert liners.startswith(f"{chamber}_{duty}_")


# --- setting -----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", GENERATIONS)
def test_every_generation_says_how_it_is_set(tmp_path: Path, name: str) -> None:
    facts, traits = cone(tmp_path, name).facts, cone(tmp_path, name).traits
    assert 0 < facts["chamber_angle_deg"] < 90
    if name in THREADED:
        assert traits["setting_method"] == "bowl"
        assert traits["setting_moves"] == "bowl_up"
        assert facts["thread_pitch_mm"] > 0 and facts["adjustment_teeth"] > 1
        # One tooth is a fine adjustment: well under a millimetre (common practice, no source).
        tooth = facts["thread_pitch_mm"] / facts["adjustment_teeth"]
        assert tooth * sin(radians(facts["chamber_angle_deg"])) < 0.5
    else:
        assert traits["setting_moves"] == "shaft_down"
        assert "thread_pitch_mm" not in facts


@pytest.mark.parametrize("name", GENERATIONS)
def test_the_closest_setting_is_the_lower_end_of_the_setting_range(
    tmp_path: Path, name: str
) -> None:
    closest = cone(tmp_path, name).facts["closest_setting_mm"]
    duty = "; duty tertiary" if name in CONVERTIBLE else ""
    assert check(tmp_path, name, f"css {closest} mm{duty}").plant is not None
    under = check(tmp_path, name, f"css {closest - 0.1} mm{duty}")
    assert {d.code for d in under.diagnostics} == {"E0404"}


# --- speed -------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", GENERATIONS)
def test_speeds_of_this_test_are_the_ends_of_the_class_range(tmp_path: Path, name: str) -> None:
    duty = "; duty tertiary" if name in CONVERTIBLE else ""
    for outside in (SPEEDS[name][0] - 1, SPEEDS[name][1] + 1):
        found = check(tmp_path, name, f"css 20 mm; speed {outside} rpm{duty}")
        assert {d.code for d in found.diagnostics} == {"E0404"}


@pytest.mark.parametrize("name", GENERATIONS)
def test_a_faster_head_passes_less_where_fall_is_the_limit_and_more_where_stroke_is(
    tmp_path: Path, name: str
) -> None:
    """Evertsson (2000), Rose & English (1967), from memory: by fall alone capacity goes as 1 / n,
    by stroke alone as n. A slow machine gives its rock time to fall: the stroke is its limit
    (common practice, no source)."""
    slow, fast = at_both_speeds(tmp_path, name)
    low, high = SPEEDS[name]
    rises = name.startswith("low_speed")
    expected = high / low if rises else low / high
    assert capacity_t_h(fast) / capacity_t_h(slow) == pytest.approx(expected)


def test_later_generations_of_one_size_take_more(tmp_path: Path) -> None:
    """Common practice, no source, at a coarse chamber and one setting."""
    settings = "chamber coarse; duty secondary"
    slow, *later = (
        capacity_t_h(cone(tmp_path, name, settings))
        for name in ("low_speed_secondary", "medium_speed", "supported_shaft", "high_speed")
    )
    assert [slow, *later] == sorted([slow, *later])


@pytest.mark.parametrize("name", GENERATIONS)
@pytest.mark.parametrize("model", ["matrix", "setting_curve"])
@pytest.mark.parametrize("filling", [0.0, 1.0])
def test_a_faster_head_makes_a_finer_product(
    tmp_path: Path, name: str, model: str, filling: float
) -> None:
    """More blows on the way through: Evertsson (2000), from memory: the direction."""
    slow, fast = at_both_speeds(tmp_path, name, f"model breakage: {model}")
    passing = [product_passing(machine, 20.0, 4.5, 0.8, filling)[0] for machine in (slow, fast)]
    assert passing[1] > passing[0]
    # A tendency, no new generation: the rules of the generations lie ten points apart.
    assert passing[1] - passing[0] < 0.08


@pytest.mark.slow
@pytest.mark.parametrize("name", GENERATIONS)
def test_both_breakage_models_agree_on_what_speed_and_filling_do(tmp_path: Path, name: str) -> None:
    """Two ways to say one thing must stay within two points of each other when speed changes and
    within three when the filling does."""

    def passing(settings: str, filling: float = 1.0) -> float:
        machine = cone(tmp_path, name, settings)
        return float(product_passing(machine, 20.0, 4.5, 0.8, filling)[0])

    def change(model: str, one: str, other: str) -> float:
        return passing(f"model breakage: {model}; {one}") - passing(
            f"model breakage: {model}; {other}"
        )

    low, high = (f"speed {rpm} rpm" for rpm in SPEEDS[name])
    assert change("matrix", high, low) == pytest.approx(
        change("setting_curve", high, low), abs=0.02
    )
    matrix, curve = (
        passing(settings, 1.0) - passing(settings, 0.0)
        for settings in ("model breakage: matrix", "model breakage: setting_curve")
    )
    assert matrix == pytest.approx(curve, abs=0.03)


@pytest.mark.parametrize("name", GENERATIONS)
def test_a_faster_head_takes_more_idle_power(tmp_path: Path, name: str) -> None:
    """Power is torque times angular speed (mechanics); that the torque of an empty machine stays
    is common practice, no source."""
    slow, fast = (machine.models["power"].coefficients["no_load"] for machine in
                  at_both_speeds(tmp_path, name))  # fmt: skip
    low, high = SPEEDS[name]
    assert fast / slow == pytest.approx(high / low)


@pytest.mark.parametrize("name", GENERATIONS)
def test_speed_and_choke_feeding_better_the_shape(tmp_path: Path, name: str) -> None:
    """Bengtsson & Evertsson (2006), from memory: the direction."""

    def flaky(speed: float, filling: float) -> float:
        use = cone(tmp_path, name, f"speed {speed} rpm").models["flakiness"]
        model = catalog.find("flakiness", use.model)
        assert model is not None
        edges = np.array([40.0, 20.0, 10.0, 5.0, 0.0])
        sizes = np.array([45.0]), np.array([18.0])
        fresh = model.load("fresh")(edges, *sizes, filling=filling, **use.coefficients)
        return float(fresh[0, 1])

    slow, fast = SPEEDS[name]
    assert flaky(fast, 1.0) < flaky(slow, 1.0) < flaky(slow, 0.5) < flaky(slow, 0.0)


def test_the_library_names_a_source_or_says_there_is_none_for_its_new_facts() -> None:
    classes = [lines_of(entity) for entity in load_library("std.cones").classes.values()]
    for name in ("chamber_angle", "thread_pitch", "adjustment_teeth", "relief_stroke"):
        stated = [lines[name] for lines in classes if name in lines]
        assert stated and all("no source" in line for line in stated), name
