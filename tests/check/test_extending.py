"""Classes that extend classes. Each law is checked against the same class written out in full by
hand, or against the same plant without a template."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.check.checker import Checked, check_file
from hoggin.check.loader import Loader
from hoggin.check.records import lines_of, written_out
from hoggin.check.scope import ClassEntity, Session
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.schema.plant import Machine
from hoggin.syntax.printer import printed
from hoggin.world import World

BASE = """
class crusher base(gape: 200 mm to 900 mm) {
  about "The base"
  source "from the base"
  setting css: 20 mm to 200 mm
  setting liners: new | worn = new
  let throw = 0.05 * gape
  let installed = 100 kW
  action single_particle
  feed_opening    gape source "measured"
  installed_power installed source "a plate"
  min_load        40 %
  rule css >= 25 mm or liners == new else "worn liners touch"
  model breakage: setting_curve { css css; passing_css 50 % source "a test"; top_ratio 2 }
  model breakage: matrix {
    k1 0.7 * css
    k2 2.2 * css
    k3 2.3
    fines_share 20 %
    fines_exponent 0.5
    coarse_exponent 2.5
  }
  model capacity: rated { rated 200 t/h }
  model power: bond { no_load 20 kW; efficiency 75 % }
  caution "Keep clear."
}
"""
OURS = """
class crusher ours(width: 300 mm to 900 mm = 500 mm): base {
  about "Ours"
  source "from us"
  setting css: 30 mm to 150 mm = 60 mm
  let installed = 130 kW * (width / 500 mm)
  min_load 55 % source "a month of records"
  shape flaky
  rule css >= 25 mm or liners == new else "worn liners of ours touch"
  model breakage: matrix { k2 2.4 * css source "fitted"; fines_share 24 % }
  caution "Mind the step."
  caution "Keep clear."
}
"""
IN_FULL = """
class crusher ours(gape: 200 mm to 900 mm, width: 300 mm to 900 mm = 500 mm) {
  about "Ours"
  source "from the base"
  source "from us"
  setting css: 30 mm to 150 mm = 60 mm
  setting liners: new | worn = new
  let throw = 0.05 * gape
  let installed = 130 kW * (width / 500 mm)
  action single_particle
  shape flaky
  feed_opening    gape source "measured"
  installed_power installed source "a plate"
  min_load        55 % source "a month of records"
  rule css >= 25 mm or liners == new else "worn liners of ours touch"
  model breakage: matrix {
    k1 0.7 * css
    k2 2.4 * css source "fitted"
    k3 2.3
    fines_share 24 %
    fines_exponent 0.5
    coarse_exponent 2.5
  }
  model breakage: setting_curve { css css; passing_css 50 % source "a test"; top_ratio 2 }
  model capacity: rated { rated 200 t/h }
  model power: bond { no_load 20 kW; efficiency 75 % }
  caution "Keep clear."
  caution "Mind the step."
}
"""
PLANT = """
use std.sieves
material granite { solid_density 2.65 t/m3; bulk_density 1.55 t/m3; work_index 15 kWh/t }
plant "Hill" {
  sieves sieves.iso_r20_3
  feed rock { rock granite; rate 100 t/h; passing { 200 mm: 100 %, 50 mm: 40 %, 4 mm: 5 % } }
  crusher c: MACHINE
  rock -> c -> product base_course
}
"""


def classes(path: Path) -> dict[str, ClassEntity]:
    session = Session(Diagnostics())
    world = World(path)
    scope = Loader(world, session).load(world.open_main()).scope
    assert not session.diagnostics.has_errors
    return {n: e for n, e in scope.names.items() if isinstance(e, ClassEntity)}


def lines(folder: Path, text: str, name: str = "ours") -> dict[str, str]:
    path = folder / "library.hog"
    path.write_text(text, encoding="utf-8")
    return dict(lines_of(classes(path)[name]))


def checked(folder: Path, text: str, machine: str) -> Checked:
    path = folder / "plant.hog"
    path.write_text(text + PLANT.replace("MACHINE", machine), encoding="utf-8")
    return check_file(path)


def the_machine(folder: Path, text: str, machine: str) -> Machine:
    found = checked(folder, text, machine)
    assert found.plant is not None, [d.message for d in found.diagnostics]
    return found.plant.machines[0]


def said(machine: Machine) -> dict[str, object]:
    return machine.model_dump(exclude={"place", "class_path", "class_name"})


def messages(found: Checked) -> list[str]:
    return [d.message for d in found.diagnostics]


SETTINGS = "{ css 40 mm }", "{ liners worn }", "{ model breakage: setting_curve; css 150 mm }"


@pytest.mark.parametrize("settings", SETTINGS)
def test_an_extended_class_is_the_class_written_out_in_full(tmp_path: Path, settings: str) -> None:
    machine = f"ours(gape: 700 mm, width: 600 mm) {settings}"
    extended = the_machine(tmp_path, BASE + OURS, machine)
    assert said(extended) == said(the_machine(tmp_path, IN_FULL, machine))
    assert lines(tmp_path, BASE + OURS) == lines(tmp_path, IN_FULL)


def test_the_order_in_which_classes_stand_makes_no_difference(tmp_path: Path) -> None:
    assert lines(tmp_path, OURS + BASE) == lines(tmp_path, BASE + OURS)


def test_a_class_that_adds_nothing_says_what_its_base_says_but_for_what_it_is(
    tmp_path: Path,
) -> None:
    text = BASE + "class crusher ours: base { }"
    base = lines(tmp_path, text, "base")
    assert base.pop("about") == '"The base"'
    assert lines(tmp_path, text) == base


def test_an_extended_class_can_be_extended(tmp_path: Path) -> None:
    third = 'class crusher third: ours { about "Third"; min_load 60 % }'
    found = the_machine(tmp_path, BASE + OURS + third, "third(gape: 700 mm)")
    assert found.facts["min_load"] == pytest.approx(0.60)
    assert found.facts["installed_power_kw"] == pytest.approx(130)


def test_a_let_takes_the_place_of_a_parameter(tmp_path: Path) -> None:
    fixed = BASE + 'class crusher fixed: base { about "One size"; let gape = 700 mm }'
    found = the_machine(tmp_path, fixed, "fixed { css 40 mm }")
    assert found.facts["feed_opening_mm"] == pytest.approx(700)
    refused = checked(tmp_path, fixed, "fixed(gape: 700 mm) { css 40 mm }")
    assert messages(refused) == ["unknown parameter `gape`"]


def test_a_coefficient_brings_its_own_source_with_its_value(tmp_path: Path) -> None:
    text = BASE + "class crusher ours: base { model breakage: setting_curve { passing_css 55 % } }"
    found = lines(tmp_path, text)
    assert found["breakage setting_curve.passing_css"] == "55 %"  # no test of ours says so
    assert (
        lines(tmp_path, 'source "our tests"\n' + text)["breakage setting_curve.passing_css"]
        == '55 % source "our tests"'
    )


def test_the_source_of_a_file_is_that_of_what_names_none(tmp_path: Path) -> None:
    found = lines(tmp_path, 'source "the file"\n' + BASE, "base")
    assert found["min_load"] == '40 % source "the file"'
    assert found["breakage matrix.k3"] == '2.3 source "the file"'
    assert found["feed_opening"] == 'gape source "measured"'
    assert found["caution"] == '"Keep clear."'


def test_a_model_that_a_class_states_is_the_one_its_machines_take(tmp_path: Path) -> None:
    stated = "class crusher ours: base { model breakage: matrix }"
    ours = the_machine(tmp_path, BASE + stated, "ours(gape: 700 mm) { css 40 mm }")
    base = the_machine(tmp_path, BASE, "base(gape: 700 mm) { css 40 mm }")
    assert (ours.models["breakage"].model, base.models["breakage"].model) == (
        "matrix",
        "setting_curve",
    )


def test_names_of_a_file_mean_to_an_inherited_line_what_they_mean_at_home(tmp_path: Path) -> None:
    library = "let share = 0.1\n" + BASE.replace("0.05 * gape", "share * gape").replace(
        "no_load 20 kW", "no_load throw / 1 mm * 1 kW"
    )
    (tmp_path / "base.hog").write_text(library, encoding="utf-8")
    own = 'use "base.hog" as theirs\nlet share = 0.01\nclass crusher ours: theirs.base { WHAT }'
    found = the_machine(tmp_path, own.replace("WHAT", ""), "ours(gape: 500 mm) { css 40 mm }")
    assert found.models["power"].coefficients["no_load"] == pytest.approx(50)
    own_let = own.replace("WHAT", "let throw = share * gape")
    found = the_machine(tmp_path, own_let, "ours(gape: 500 mm) { css 40 mm }")
    assert found.models["power"].coefficients["no_load"] == pytest.approx(5)


def test_an_inherited_rule_still_holds(tmp_path: Path) -> None:
    text = BASE + "class crusher ours: base { }"
    found = checked(tmp_path, text, "ours(gape: 700 mm) { css 20 mm; liners worn }")
    assert messages(found) == ["worn liners touch"]


@pytest.mark.slow
def test_what_the_library_extends_says_the_same_written_out(tmp_path: Path) -> None:
    entities = classes(Path(__file__).parents[2] / "stdlib" / "cones.hog")
    for name, entity in entities.items():
        assert lines(tmp_path, printed([written_out(entity)]), name) == lines_of(entity)


# --- classes as parameters of a template

LINE = """
use std.cones
template line(cone: class crusher = cones.high_speed, head: 600 mm to 2000 mm) {
  in rock
  out fine
  crusher tertiary: cone(head: head) { css 14 mm; duty tertiary }
  rock -> tertiary -> fine
}
template twice(cone: class crusher) {
  in rock
  out fine
  section inner: line(cone: cone, head: 1300 mm)
  rock -> inner -> fine
}
"""
SECTIONS = """
use std.sieves
material granite { solid_density 2.65 t/m3; bulk_density 1.55 t/m3; work_index 15 kWh/t }
plant "Hill" {
  sieves sieves.iso_r20_3
  feed rock { rock granite; rate 100 t/h; passing { 60 mm: 100 %, 20 mm: 40 %, 4 mm: 5 % } }
  DECLARED
  rock -> a -> product chips
}
"""


def line_of(folder: Path, declared: str) -> Checked:
    path = folder / "plant.hog"
    path.write_text(LINE + SECTIONS.replace("DECLARED", declared), encoding="utf-8")
    return check_file(path)


@pytest.mark.parametrize("of", ["cones.high_speed", "cones.medium_speed", "cones.bowl_and_shaft"])
@pytest.mark.parametrize("section", ["line(cone: CLASS, head: 1300 mm)", "twice(cone: CLASS)"])
def test_a_section_has_the_machine_of_the_class_it_names(
    tmp_path: Path, of: str, section: str
) -> None:
    plain = line_of(tmp_path, f"crusher a: {of}(head: 1300 mm) {{ css 14 mm; duty tertiary }}")
    by_name = line_of(tmp_path, f"section a: {section.replace('CLASS', of)}")
    assert plain.plant is not None
    assert by_name.plant is not None
    alone, inside = plain.plant.machines[0], by_name.plant.machines[0]
    hidden = {"place", "tag"}
    assert inside.model_dump(exclude=hidden) == alone.model_dump(exclude=hidden)
    assert by_name.plant.classes == plain.plant.classes


def test_a_class_is_checked_in_each_section(tmp_path: Path) -> None:
    found = line_of(tmp_path, "section a: line(cone: cones.low_speed_secondary, head: 1300 mm)")
    assert [d.code for d in found.diagnostics if d.is_error] == ["E0405"]  # its rule on the duty
    small = line_of(tmp_path, "section a: line(cone: cones.low_speed_tertiary, head: 1300 mm)")
    assert small.plant is not None


def test_a_class_may_be_the_usual_one(tmp_path: Path) -> None:
    found = line_of(tmp_path, "section a: line(head: 1300 mm)")
    assert found.plant is not None
    assert found.plant.machines[0].class_name == "cones.high_speed"
