"""Every machine class of the library checks clean, says where it comes from and how it can hurt."""

from pathlib import Path

import pytest

from hoggin.check.checker import check_file
from hoggin.check.library import load_library
from hoggin.check.records import written_out
from hoggin.schema.plant import Machine, Plant
from hoggin.syntax.printer import printed
from hoggin.world import standard_library

LIBRARIES = ("jaws", "gyratories", "cones", "rolls", "impactors", "screens", "feeders")

# One of each class, in a row: a scenario of our own that no one would build.
PLANT = """
use std.jaws
use std.gyratories
use std.cones
use std.rolls
use std.impactors
use std.screens
use std.feeders
use std.sieves
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }
plant "One of each class" {
  sieves sieves.iso_r20_3
  feed face { rock rock; rate 100 t/h; passing { 600 mm: 100 %, 100 mm: 30 %, 5 mm: 3 % } }
  feeder f0: feeders.layer(width: 1200 mm) {}
  feeder f1: feeders.pan(width: 1200 mm) {}
  feeder f2: feeders.apron(width: 1500 mm) {}
  feeder f3: feeders.belt(width: 1200 mm) {}
  grizzly_feeder g1: feeders.vibrating(width: 1200 mm, length: 4000 mm) { deck top 60 mm slotted }
  crusher c1: jaws.single_toggle(gape: 1100 mm, width: 1300 mm) { css 130 mm }
  crusher c2: jaws.double_toggle(gape: 1100 mm, width: 1300 mm) { css 130 mm }
  crusher c3: gyratories.primary(gape: 1070 mm, mantle: 1650 mm) { css 140 mm }
  crusher c4: cones.low_speed_secondary(head: 1300 mm) { css 25 mm }
  crusher c5: cones.low_speed_tertiary(head: 1300 mm) { css 10 mm }
  crusher c6: cones.medium_speed(head: 1300 mm) { css 20 mm; duty secondary }
  crusher c7: cones.high_speed(head: 1300 mm) { css 20 mm; duty tertiary }
  crusher c8: cones.supported_shaft(head: 1300 mm) { css 20 mm; duty tertiary }
  crusher c9: cones.bowl_and_shaft(head: 1300 mm) { css 20 mm; duty tertiary }
  crusher r1: rolls.smooth_double(diameter: 1000 mm, width: 800 mm) { gap 20 mm }
  crusher r2: rolls.high_pressure(diameter: 1200 mm, width: 800 mm) { gap 30 mm }
  crusher i1: impactors.horizontal_shaft(rotor: 1300 mm, width: 1300 mm) { gap 40 mm }
  crusher i2: impactors.vertical_shaft(rotor: 1000 mm) {}
  screen s1: screens.inclined(width: 2.1 m, length: 6 m) { water spray; deck top 10 mm square }
  screen s2: screens.horizontal(width: 2.1 m, length: 6 m) { deck top 10 mm square }
  screen s3: screens.scalper(width: 2.1 m, length: 5 m) { deck top 10 mm round }
  screen s4: screens.grizzly(width: 1.5 m, length: 3 m) { deck top 10 mm slotted }
  screen s5: screens.multi_slope(width: 2.1 m, length: 6 m) { deck top 10 mm square }
  screen s6: screens.box(width: 2.1 m, length: 6 m) { deck top 10 mm square }
  screen s7: screens.sizing(width: 2.1 m, length: 6 m) { deck top 10 mm square }
  face -> f0 -> g1
  g1.over -> f1
  g1.under -> f1 -> f2 -> f3 -> c1 -> c2 -> c3 -> c4 -> c5 -> c6 -> c7 -> c8 -> c9 -> r1 -> r2 -> i1
  i1 -> i2 -> s1
  s1.top.over -> s2
  s2.top.over -> s3
  s3.top.over -> s5
  s5.top.over -> s6
  s6.top.over -> s7
  s7.top.over -> s4
  s6.under -> product seven
  s7.under -> product eight
  s5.under -> product six
  s1.under -> product one
  s2.under -> product two
  s3.under -> product three
  s4.under -> product four
  s4.top.over -> product five
}
"""


@pytest.fixture(scope="module")
def plant(tmp_path_factory: pytest.TempPathFactory) -> Plant:
    file = tmp_path_factory.mktemp("machines") / "plant.hog"
    file.write_text(PLANT)
    checked = check_file(file)
    assert checked.plant is not None, [(d.code, d.message) for d in checked.diagnostics]
    return checked.plant


@pytest.mark.parametrize("name", LIBRARIES)
def test_library_checks_without_a_remark(name: str) -> None:
    path: Path = standard_library() / f"{name}.hog"
    assert [d.message for d in check_file(path).diagnostics] == []


def test_the_plant_holds_one_machine_of_every_class(plant: Plant) -> None:
    declared = {
        f"{library}.{name}"
        for library in LIBRARIES
        for name in load_library(f"std.{library}").classes
    }
    assert {machine.class_name for machine in plant.machines} == declared
    assert len(declared) >= 18


def test_every_class_cautions_on_lock_out_and_dust_and_defers_to_codes(plant: Plant) -> None:
    for machine in plant.machines:
        told = " ".join(machine.cautions).lower()
        for word in ("lock out", "guard", "silica", "local codes", "licensed practice"):
            assert word in told, machine.tag
        assert machine.sources, machine.tag


@pytest.mark.slow
@pytest.mark.parametrize("library", sorted(p.stem for p in standard_library().glob("*.hog")))
def test_every_class_of_every_library_cautions_on_lock_out_and_defers_to_codes(
    library: str,
) -> None:
    for name, entity in load_library(f"std.{library}").classes.items():
        told = "".join(printed([written_out(entity)])).lower()
        for words in (("lock out", "locked out"), ("local codes",), ("licensed practice",)):
            assert any(word in told for word in words), (library, name)
        assert "source" in told and "about" in told, (library, name)


@pytest.mark.parametrize("tag", ["c4", "c5", "c6", "c7", "c8", "c9"])
def test_cones_caution_on_tramp_release_and_stored_energy(plant: Plant, tag: str) -> None:
    told = " ".join(of(plant, tag).cautions).lower()
    assert "tramp release" in told
    assert "guard" in told
    assert any(word in told for word in ("accumulator", "springs"))
    assert of(plant, tag).facts["relief_stroke_mm"] > 0.0


def test_cones_state_the_facts_of_their_generation(plant: Plant) -> None:
    for tag in ("c4", "c5", "c6", "c7", "c8", "c9"):
        traits = of(plant, tag).traits
        assert {
            "pivot",
            "action",
            "convertible",
            "setting_method",
            "product_shape",
            "product_grading",
        } <= set(traits)
    # Generations as the trade tells them apart (common practice, no source).
    assert of(plant, "c4").traits["convertible"] == of(plant, "c5").traits["convertible"] == "no"
    assert of(plant, "c6").traits["convertible"] == "yes"
    assert of(plant, "c6").traits["pivot"] == "low"
    assert of(plant, "c7").traits["pivot"] == "high"
    assert of(plant, "c7").traits["action"] == "inter_particle"
    assert of(plant, "c9").facts["relief_stroke_mm"] == pytest.approx(65.0)


@pytest.mark.parametrize(
    ("given", "outside"),
    [
        ("{ css 25 mm }", "{ css 25 mm; speed 700 rpm }"),  # a slow machine at a medium speed
        ("{ css 20 mm; duty secondary }", "{ css 20 mm; duty secondary; speed 1050 rpm }"),
        ("{ css 20 mm; duty tertiary }", "{ css 20 mm; duty tertiary; speed 725 rpm }"),
    ],
)
def test_a_speed_of_another_generation_is_refused(tmp_path: Path, given: str, outside: str) -> None:
    file = tmp_path / "plant.hog"
    assert given in PLANT
    file.write_text(PLANT.replace(given, outside))
    checked = check_file(file)
    assert checked.plant is None
    assert any("speed" in diagnostic.message for diagnostic in checked.diagnostics)


def of(plant: Plant, tag: str) -> Machine:
    return next(machine for machine in plant.machines if machine.tag == tag)
