"""The smooth double-roll crusher of the library."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from tests.stdlib.test_setting_rules import capacity_t_h, product_passing

from hoggin.check.checker import Checked, check_file
from hoggin.models import catalog
from hoggin.models.capacity import nipped_size_mm
from hoggin.models.grading import passing_at
from hoggin.schema.plant import Machine
from hoggin.world import standard_library

PLANT = """
use std.LIBRARY
use std.sieves
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }
plant "One pair of rolls, a scenario of our own" {
  sieves sieves.iso_r20_3
  feed face { rock rock; rate 40 t/h; passing { 40 mm: 100 %, 20 mm: 40 %, 5 mm: 10 % } }
  crusher c: MACHINE
  face -> c -> product all
}
"""
ROLLS = "rolls.smooth_double(diameter: 1000 mm, width: 800 mm) { gap 20 mm; SETTINGS }"


def check(folder: Path, machine: str) -> Checked:
    path = folder / "plant.hog"
    text = PLANT.replace("LIBRARY", machine.partition(".")[0]).replace("MACHINE", machine)
    path.write_text(text)
    return check_file(path)


def crusher(folder: Path, machine: str = ROLLS, settings: str = "") -> Machine:
    found = check(folder, machine.replace("SETTINGS", settings))
    assert found.plant is not None, [d.message for d in found.diagnostics]
    return found.plant.machines[0]


def test_the_library_checks_without_a_remark() -> None:
    assert check_file(standard_library() / "rolls.hog").diagnostics == ()


def test_rolls_caution_on_nip_points_lock_out_and_dust(tmp_path: Path) -> None:
    machine = crusher(tmp_path)
    told = " ".join(machine.cautions).lower()
    for word in ("nip", "lock out", "guard", "silica", "local codes", "licensed practice"):
        assert word in told
    assert machine.sources


@pytest.mark.parametrize("friction", [0.15, 0.25, 0.35])
def test_the_largest_feed_follows_from_the_angle_of_nip(tmp_path: Path, friction: float) -> None:
    """The class's own formula against the model's, which a test of statics covers; and by hand
    for 0.25: 1020 x sqrt(1 + 0.0625) - 1000 = 51.4 mm."""
    largest = crusher(tmp_path, settings=f"friction {friction}").facts["max_feed_size_mm"]
    assert largest == pytest.approx(
        float(nipped_size_mm(diameter=1000.0, gap=20.0, friction=friction)[0])
    )
    if friction == 0.25:
        assert largest == pytest.approx(51.4, abs=0.05)


@pytest.mark.parametrize(
    ("speed", "moving"),
    # 0.3 x (1 + 1.12 v) / (1 + 6 v) by hand: 0.3 x 2.12 / 7 and 0.3 x 4.36 / 19.
    [(1.0, 0.0909), (3.0, 0.0688)],
)
def test_moving_rolls_draw_in_smaller_pieces_the_faster_they_turn(
    tmp_path: Path, speed: float, moving: float
) -> None:
    """Friction that falls with speed: a textbook's formula, looked up in a fragment."""
    facts = crusher(tmp_path, settings=f"friction 0.3; peripheral_speed {speed} m/s").facts
    drawn_in = float(nipped_size_mm(diameter=1000.0, gap=20.0, friction=moving)[0])
    assert facts["slip_free_size_mm"] == pytest.approx(drawn_in, abs=0.02)
    assert facts["slip_free_size_mm"] < facts["max_feed_size_mm"]


def test_rolls_take_most_of_what_a_planning_table_lets_them_take(tmp_path: Path) -> None:
    """US Army course EN5464, looked up: rolls of 30 in set at 3/4 in take pieces up to 1 3/4 in
    larger, 63.5 mm. Smooth shells at the upper end of their friction, 0.3, hold 53 mm by hand."""
    rolls = "rolls.smooth_double(diameter: 762 mm, width: 610 mm) { gap 19 mm; friction 0.3 }"
    largest = crusher(tmp_path, rolls).facts["max_feed_size_mm"]
    assert 0.8 * 63.5 < largest < 63.5


def test_capacity_by_hand(tmp_path: Path) -> None:
    # 0.8 m x 0.02 m x 3 m/s = 0.048 m3/s = 172.8 m3/h; x 2.7 t/m3 x 25 % = 116.6 t/h.
    assert capacity_t_h(crusher(tmp_path)) == pytest.approx(116.64)


def test_rolls_make_fewer_fines_than_a_cone_at_the_same_setting(tmp_path: Path) -> None:
    """Common practice, no source."""
    cone = "cones.medium_speed(head: 1300 mm) { css 20 mm; duty tertiary }"
    fines = []
    for machine in (crusher(tmp_path), crusher(tmp_path, cone)):
        use = machine.models["breakage"]
        model = catalog.find("breakage", use.model)
        assert model is not None
        edges = np.append(60.0 * 10 ** (-np.arange(0.0, 3.0, 0.05)), 0.0)
        feed = np.where(edges[:-1] > 35.0, 1.0, 0.0)
        product = model.load("operator")(edges, **use.coefficients)[0] @ (feed / feed.sum())
        fines.append(float(passing_at(edges, product, 2.0)[0]))
    assert fines[0] < 0.7 * fines[1]


@pytest.mark.parametrize("top", [1.2, 1.5, 2.0, 3.0, 4.0])
@pytest.mark.parametrize("model", ["matrix", "setting_curve"])
def test_most_of_the_product_passes_the_gap_on_every_feed(
    tmp_path: Path, model: str, top: float
) -> None:
    """About three quarters, next to nothing over twice the gap, whatever of four gaps the rolls are
    fed: common practice, no source."""
    machine = crusher(tmp_path, settings=f"model breakage: {model}")
    at_gap, at_twice = product_passing(machine, 20.0, top, 0.8)
    assert at_gap == pytest.approx(0.75, abs=0.04)
    assert at_twice > 0.98


def test_the_closest_setting_is_the_lower_end_of_the_gap(tmp_path: Path) -> None:
    closest = crusher(tmp_path).facts["closest_setting_mm"]
    under = check(tmp_path, ROLLS.replace("gap 20 mm; SETTINGS", f"gap {closest - 0.1} mm"))
    assert "E0404" in {d.code for d in under.diagnostics}
