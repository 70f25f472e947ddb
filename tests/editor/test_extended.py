"""What an editor proposes and tells of classes that extend others, and of parameters that stand for
classes."""

from __future__ import annotations

from pathlib import Path

from hoggin.editor.hover import hover
from hoggin.editor.project import Project
from tests.editor.test_completion import HEAD, labels

OURS = """\
class crusher ours(stroke: 10 mm to 60 mm): cones.high_speed {
  about "Our cone"
  let head = 1300 mm
  caution "Mind the step."
}
"""


def plant(line: str) -> str:
    return f'{HEAD}{OURS}plant "Hill" {{\n  {line}\n}}\n'


def test_classes_of_the_kind_are_proposed_behind_the_colon() -> None:
    found = labels(HEAD + "class crusher ours: @ { }\n")
    assert "cones.high_speed" in found
    assert "screens.inclined" not in found
    assert "cones.convertible" not in found  # it is none to choose; only others extend it


def test_inherited_settings_and_models_are_proposed_in_a_machine() -> None:
    found = labels(plant("crusher c: ours(stroke: 20 mm) { @ }"))
    assert {"css", "speed", "duty", "model breakage: setting_curve"} <= set(found)


def test_parameters_are_those_that_are_left_open() -> None:
    assert labels(plant("crusher c: ours(@) { }")) == ["stroke"]


def test_inherited_names_are_proposed_in_the_class() -> None:
    found = labels(HEAD + "class crusher ours: cones.high_speed {\n  let more = @\n}\n")
    assert {"head", "css", "speed"} <= set(found), found


def test_classes_are_proposed_for_a_parameter_that_stands_for_one() -> None:
    line = "template line(cone: class crusher) {\n  in rock\n  out base\n  rock -> base\n}\n"
    found = labels(HEAD + line + 'plant "Hill" {\n  section a: line(cone: @)\n}\n')
    assert "cones.high_speed" in found
    assert "screens.inclined" not in found


def test_a_class_tells_what_it_inherits(tmp_path: Path) -> None:
    text = HEAD + OURS
    path = tmp_path / "ours.hog"
    path.write_text(text, encoding="utf-8")
    found = hover(Project().snapshot(path), text.index("ours("))
    assert found is not None
    told = "\n".join(found.lines)
    assert "**ours**: `cones.high_speed`" in told
    assert "setting `css`: 6 mm to 60 mm" in told
    assert "Mind the step." in told
    assert "Guard countershaft" in told
