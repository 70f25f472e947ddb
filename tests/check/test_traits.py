"""Traits of a class: its own words, alone or by choices."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.check.checker import Checked, check_file

PLANT = """
use std.sieves
class crusher ours(head: 600 mm to 2000 mm) {
  setting css: 5 mm to 50 mm
  setting duty: secondary | tertiary
  setting chamber: coarse | fine = coarse
  %FACT%
  model breakage: matrix { k1 0.7 * css; k2 2.2 * css }
  model capacity: rated { rated 200 t/h * (head / 1 m) }
  model power: bond { no_load 1 kW }
}
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }
plant "p" {
  sieves sieves.iso_r20_3
  feed f { rock rock; rate 100 t/h; passing { 60 mm: 100 %, 5 mm: 10 % } }
  crusher c: ours(head: 1000 mm) { css 20 mm; duty tertiary; chamber %CHAMBER% }
  f -> c -> product p
}
"""


def checked(folder: Path, fact: str, chamber: str = "fine") -> Checked:
    path = folder / "plant.hog"
    path.write_text(PLANT.replace("%FACT%", fact).replace("%CHAMBER%", chamber))
    return check_file(path)


def traits(found: Checked) -> dict[str, str]:
    assert found.plant is not None, [d.message for d in found.diagnostics]
    return dict(found.plant.machines[0].traits)


def test_a_word_is_a_trait(tmp_path: Path) -> None:
    assert traits(checked(tmp_path, "action inter_particle")) == {"action": "inter_particle"}


@pytest.mark.parametrize(
    ("chamber", "liners"), [("fine", "fine_liners"), ("coarse", "tertiary_liners")]
)
def test_a_trait_may_be_chosen_by_settings(tmp_path: Path, chamber: str, liners: str) -> None:
    fact = (
        "liner_set by chamber { fine: fine_liners, coarse: by duty "
        "{ secondary: secondary_liners, tertiary: tertiary_liners } }"
    )
    assert traits(checked(tmp_path, fact, chamber)) == {"liner_set": liners}


@pytest.mark.parametrize(
    ("fact", "told"),
    [
        ("liner_set by chamber { fine: a, corse: b }", "never `corse`"),
        ("liner_set by chamber { coarse: a }", "has no value for `fine`"),
        ("liner_set by head { fine: a, coarse: b }", "not a choice"),
        ("liner_set by nothing { fine: a, coarse: b }", "`nothing`"),
    ],
)
def test_a_choice_that_cannot_be_made_is_told(tmp_path: Path, fact: str, told: str) -> None:
    found = checked(tmp_path, fact)
    assert found.plant is None
    assert any(told in diagnostic.message for diagnostic in found.diagnostics)


@pytest.mark.parametrize(
    "fact",
    ["chamber_angle 0 deg", "thread_pitch 0 mm", "adjustment_teeth 0", "chamber_angle 2 rad"],
)
def test_a_geometry_that_cannot_be_is_told(tmp_path: Path, fact: str) -> None:
    found = checked(tmp_path, fact)
    assert "E0306" in {diagnostic.code for diagnostic in found.diagnostics}
