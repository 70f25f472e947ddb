"""Libraries are entered once in a process, and again as soon as they say something else."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.check import loader
from hoggin.check.checker import Checked, check
from hoggin.check.inheritance import make_whole
from hoggin.check.scope import Scope, Session
from hoggin.schema.plant import Material
from hoggin.syntax import tree
from hoggin.world import World

PLANT = """\
use "rocks.hog" as rocks
use std.cones
plant "Hill" {
  sieves { 63 mm, 20 mm, 5 mm }
  feed rock { rock rocks.ours; rate 200 t/h; passing { 200 mm: 100 %, 50 mm: 40 % } }
  crusher cone: cones.high_speed(head: 1100 mm) { duty secondary; chamber medium; css 20 mm }
  rock -> cone -> product base
}
"""
ROCKS = """\
material common { solid_density 2.65 t/m3; bulk_density 1.55 t/m3; work_index 15 kWh/t }
material ours: common { work_index 14 kWh/t }
"""


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The files whose classes and materials were made whole."""
    found: list[str] = []

    def noted(scope: Scope, source: tree.Text | None, session: Session) -> None:
        found.extend(sorted({one.span.source.name for one in scope.names.values()})[:1])
        make_whole(scope, source, session)

    monkeypatch.setattr("hoggin.check.loader.make_whole", noted)
    return found


def _checked(folder: Path, rocks: str) -> Checked:
    (folder / "plant.hog").write_text(PLANT)
    (folder / "rocks.hog").write_text(rocks)
    world = World(folder / "plant.hog")
    return check(world, world.open_main())


def _rock(checked: Checked) -> Material:
    assert checked.plant is not None
    return next(iter(checked.plant.materials.values()))


def test_a_second_check_enters_the_plant_alone(tmp_path: Path, made: list[str]) -> None:
    first = _checked(tmp_path, ROCKS)
    made.clear()
    second = _checked(tmp_path, ROCKS)
    assert made == ["plant.hog"]
    assert first.plant == second.plant is not None


def test_a_library_that_changes_is_entered_again(tmp_path: Path, made: list[str]) -> None:
    before, after = _checked(tmp_path, ROCKS), _checked(tmp_path, ROCKS.replace("14 ", "13 "))
    assert "rocks.hog" in made
    assert [_rock(one).work_index_kwh_t for one in (before, after)] == [14.0, 13.0]


def test_a_fault_of_a_library_is_reported_every_time(tmp_path: Path) -> None:
    faulty = ROCKS.replace("ours: common", "ours: comon")
    found = [[(d.code, d.span.line) for d in _checked(tmp_path, faulty).diagnostics] for _ in "ab"]
    assert found[0] == found[1] == [("E0201", 2)]


def test_what_a_used_library_uses_is_looked_at_too(tmp_path: Path) -> None:
    """The library between stays as it is; the one behind it changes."""
    (tmp_path / "base.hog").write_text(ROCKS.splitlines()[0] + "\n")
    between = 'use "base.hog" as base\nmaterial ours: base.common { work_index 14 kWh/t }\n'
    first = _checked(tmp_path, between)
    changed = ROCKS.splitlines()[0].replace("1.55", "1.60")
    (tmp_path / "base.hog").write_text(changed + "\n")
    second = _checked(tmp_path, between)
    assert [_rock(one).bulk_density_t_m3 for one in (first, second)] == [1.55, 1.60]


def test_no_more_libraries_are_kept_than_some(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(loader, "_MOST_KEPT", 3)
    monkeypatch.setattr(loader, "_kept", type(loader._kept)())
    for index in range(10, 16):
        assert not _checked(tmp_path, ROCKS.replace("14 ", f"{index} ")).has_errors
    assert len(loader._kept) == 3
