"""`hoggin fit` as a user meets it: the library it writes, the plant that uses it, its refusals."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hoggin.balance import balance
from hoggin.check.checker import check_file
from hoggin.commands.main import main
from hoggin.diagnostics.source import Source
from hoggin.schema.plant import Machine
from hoggin.syntax.layout import laid_out
from tests.fit.synthetic import SIZES, TRUTH, product_passing, table
from tests.fit.test_calibrate import T10_CLASS

PLANT = """
use "ours.hog" as ours
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }
plant "One cone, a scenario of our own" {
  sieves { 160 mm, 80 mm, 40 mm, 20 mm, 10 mm, 4 mm, 1 mm }
  feed face { rock rock; rate 350 t/h; passing { %GRADING% } }
  crusher cone: ours.CLASS { SETTINGS }
  face -> cone -> product all
}
"""
CHOSEN = "css 26 mm; duty secondary; chamber coarse"


@pytest.fixture
def data(tmp_path: Path) -> Path:
    path = tmp_path / "belt_cuts.csv"
    path.write_text(table(4), encoding="utf-8")
    return path


def fit(data: Path, *more: str, into: str = "ours.hog", of: str = "std.cones.high_speed") -> int:
    return main(["fit", str(data), "--class", of, "--into", str(data.parent / into), *more])


def plant_file(
    folder: Path, of: str = "high_speed_fitted(head: 1300 mm)", chosen: str = CHOSEN
) -> Path:
    rows = [line.split(",") for line in table(4).splitlines()[1:20]]
    grading = ", ".join(f"{row[2]} mm: {row[3]} %" for row in rows)
    text = PLANT.replace("%GRADING%", grading).replace("CLASS", of).replace("SETTINGS", chosen)
    path = folder / "plant.hog"
    path.write_text(text, encoding="utf-8")
    return path


def cone(
    folder: Path, of: str = "high_speed_fitted(head: 1300 mm)", chosen: str = CHOSEN
) -> Machine:
    checked = check_file(plant_file(folder, of, chosen))
    assert checked.plant is not None, [d.message for d in checked.diagnostics]
    return checked.plant.machines[0]


def breakage(machine: Machine) -> dict[str, float]:
    return dict(machine.models["breakage"].coefficients)


def left_over(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


@pytest.mark.slow
def test_a_plant_uses_the_fitted_class_and_gives_the_product_that_was_measured(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert fit(data) == 0
    told = capsys.readouterr()
    assert "k1 / css" in told.out and "ours_residuals.svg" in told.out and not told.err
    assert main(["check", str(data.parent / "ours.hog")]) == 0
    machine = cone(data.parent)
    found = breakage(machine)
    assert found["k1"] / 26.0 == pytest.approx(TRUTH["k1"], rel=0.03)
    assert found["k2"] / 26.0 == pytest.approx(TRUTH["k2"], rel=0.03)
    assert found["fines_share"] == pytest.approx(TRUTH["fines_share"], rel=0.03)
    # The balanced plant's product passes what the noise-free test at 26 mm did.
    plant = check_file(plant_file(data.parent)).plant
    assert plant is not None
    result = balance(plant)
    stream = next(place for place, s in enumerate(plant.streams) if s.target == "all")
    mass = result.streams_t_h[0, stream]
    shown = (160.0, 80.0, 40.0, 20.0, 10.0, 4.0, 1.0)
    measured = product_passing(26.0)
    truth = {size: measured[SIZES.index(size)] for size in shown}
    edges = result.edges_mm
    for size, passing in truth.items():
        finer = mass[edges[:-1] <= size * (1 + 1e-9)].sum() / mass.sum()
        assert finer == pytest.approx(passing, abs=0.006), size


@pytest.mark.slow
def test_all_else_stays_as_in_the_base_class(data: Path) -> None:
    assert fit(data, "--name", "ours_cone") == 0
    ours = cone(data.parent, "ours_cone(head: 1300 mm)")
    base = data.parent / "ours.hog"
    text = base.read_text(encoding="utf-8")
    plain = cone_of_library(data.parent)
    assert ours.facts == plain.facts
    assert ours.traits == plain.traits
    assert ours.cautions == plain.cautions
    assert ours.models["capacity"] == plain.models["capacity"]
    kept = ("k3", "fines_exponent", "coarse_exponent")
    assert {n: breakage(ours)[n] for n in kept} == {n: breakage(plain)[n] for n in kept}
    assert "fitted: belt_cuts.csv; 3 samples, css 20 mm to 32 mm" in text
    assert any("belt_cuts.csv" in source for source in ours.sources)


def cone_of_library(folder: Path, chosen: str = CHOSEN) -> Machine:
    path = plant_file(folder, "high_speed(head: 1300 mm)", chosen)
    path.write_text(
        path.read_text(encoding="utf-8").replace('"ours.hog" as ours', "std.cones as ours"),
        encoding="utf-8",
    )
    plant = check_file(path).plant
    assert plant is not None
    return plant.machines[0]


@pytest.mark.slow
def test_what_the_class_says_of_another_speed_and_filling_stays_in_force(data: Path) -> None:
    assert fit(data) == 0
    head = "high_speed_fitted(head: 1300 mm)"
    ours, plain = breakage(cone(data.parent, head)), breakage(cone_of_library(data.parent))
    assert ours["starved_rise"] == plain["starved_rise"] > 0.0
    scale = ours["k1"] / plain["k1"]
    fast = f"{CHOSEN}; speed 1150 rpm"
    quick = breakage(cone(data.parent, head, fast))["k1"]
    assert quick == pytest.approx(
        scale * breakage(cone_of_library(data.parent, fast))["k1"], rel=1e-3
    )


@pytest.mark.slow
def test_the_library_stands_in_the_layout_that_saving_it_would_give(data: Path) -> None:
    assert fit(data) == 0
    text = (data.parent / "ours.hog").read_text(encoding="utf-8")
    assert laid_out(Source("ours.hog", text)) == text


@pytest.mark.slow
def test_the_same_data_give_the_same_bytes(data: Path) -> None:
    for name in ("one", "two"):
        (data.parent / name).mkdir()
        assert fit(data, into=f"{name}/ours.hog") == 0
    for file in ("ours.hog", "ours_residuals.svg"):
        one, two = ((data.parent / name / file).read_bytes() for name in ("one", "two"))
        assert one == two


@pytest.mark.slow
def test_the_plot_is_well_formed_and_shows_every_measured_point(data: Path) -> None:
    assert fit(data) == 0
    root = ElementTree.parse(data.parent / "ours_residuals.svg").getroot()
    svg = "{http://www.w3.org/2000/svg}"
    samples = [r.split(",")[0] for r in table(4).splitlines()[1:] if not r.endswith(",")]
    discs = [c for c in root.iter(f"{svg}circle") if c.get("class") == "disc"]
    assert len(discs) == 2 * samples.count("css 20") + 1  # above, below, and in the key
    words = " ".join("".join(text.itertext()) for text in root.iter(f"{svg}text"))
    assert "css 32 mm" in words and "95 % confidence" in words


@pytest.mark.slow
def test_an_existing_file_is_only_replaced_when_told(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    library = data.parent / "ours.hog"
    library.write_text("mine", encoding="utf-8")
    assert fit(data) == 2
    assert "--overwrite" in capsys.readouterr().err
    assert library.read_text(encoding="utf-8") == "mine"
    assert left_over(data.parent) == {"ours.hog", "belt_cuts.csv"}
    assert fit(data, "--overwrite") == 0
    assert "high_speed_fitted" in library.read_text(encoding="utf-8")


def test_the_plot_never_takes_another_files_place(data: Path) -> None:
    (data.parent / "ours_residuals.svg").write_text("mine", encoding="utf-8")
    assert fit(data) == 2
    assert (data.parent / "ours_residuals.svg").read_text(encoding="utf-8") == "mine"
    assert not (data.parent / "ours.hog").exists()


def test_faulty_data_are_told_at_their_place_and_nothing_is_written(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data.write_text(table(4).replace("css 20,20,125,80.1,", "css 20,20,125,8O.1,"))
    assert fit(data) == 1
    told = capsys.readouterr().err
    assert "error E0901" in told and "belt_cuts.csv:3:15" in told and "^^^^" in told
    assert left_over(data.parent) == {"belt_cuts.csv"}


def test_a_setting_the_class_does_not_have_is_told_at_its_cell(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data.write_text(table(4).replace("css 32,32,", "css 32,75,"))
    assert fit(data) == 1
    told = capsys.readouterr().err
    assert "E0404" in told and "`css` 75 mm is above the class's limit of 60 mm" in told
    assert "belt_cuts.csv:40:8" in told
    assert left_over(data.parent) == {"belt_cuts.csv"}


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (("--class", "std.cones.hi_speed"), "did you mean `high_speed`?"),
        (("--class", "std.bones.high_speed"), "not a library"),
        (("--class", "std.screens.inclined"), "not a crusher with a setting"),
        (("--class", "std.impactors.horizontal_shaft"), "not a crusher"),
        (("--class", "nowhere.hog:cone"), "there is no such file"),
        (("--class", ""), "not a library"),
        (("--class", ":"), "it is not a file"),
        (("--class", "std.cones"), "not a library"),
        (("--free", "k1,k9"), "no `k9` to fit"),
        (("--free", "css"), "no `css` to fit"),
        (("--free", ""), "--free"),
        (("--breakage", "matrox"), "did you mean `matrix`?"),
        (("--set", "css"), "NAME=VALUE"),
        (("--set", "css=32mm"), "keep one of them"),
        (("--set", "x=1\nlet y=2"), "NAME=VALUE"),
        (("--name", "two words"), "is not a name for a class"),
        (("--name", "else"), "choose another name with --name"),
        (("--into", "ours.txt"), "ends in `.hog`"),
        (("--into", "bad\0name.hog"), "can't be followed"),
    ],
)
def test_wrong_use_exits_2_with_a_sentence(
    data: Path, capsys: pytest.CaptureFixture[str], more: tuple[str, str], said: str
) -> None:
    assert fit(data, *more) == 2
    told = capsys.readouterr().err
    assert told.startswith("hoggin: ") and said in told
    assert left_over(data.parent) == {"belt_cuts.csv"}


def test_a_given_setting_that_is_out_of_range_exits_1(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert fit(data, "--set", "duty=flood") == 1
    assert "--set:1:" in capsys.readouterr().err
    assert fit(data, "--set", "tempo=3") == 1
    assert "unknown setting `tempo`" in capsys.readouterr().err
    assert left_over(data.parent) == {"belt_cuts.csv"}


@pytest.mark.slow
def test_without_a_column_the_setting_is_given(data: Path) -> None:
    head, *lines = table(4, settings=(26.0,)).splitlines()
    rows = [",".join(line.split(",")[2:]) for line in (head, *lines)]
    data.write_text("\n".join(rows), encoding="utf-8")
    assert fit(data) == 2
    assert fit(data, "--set", "css=2.6cm") == 0
    found = breakage(cone(data.parent))
    assert found["k1"] / 26.0 == pytest.approx(TRUTH["k1"], rel=0.05)


@pytest.mark.slow
def test_a_class_of_the_users_own_with_breakage_from_t10_is_fitted_and_used(data: Path) -> None:
    """Also: coefficients the class left at their default are written beside the others."""
    own = data.parent / "own.hog"
    own.write_text(T10_CLASS, encoding="utf-8")
    free = "k1,k2,specific_energy,k3"
    assert fit(data, "--free", free, of=f"{own}:bench_cone") == 0
    machine = cone(data.parent, "bench_cone_fitted(head: 1300 mm)", "css 26 mm")
    assert machine.models["breakage"].model == "matrix_t10"
    found = breakage(machine)
    assert found["t10_limit"] == 0.5 and found["energy_scale"] == 1.4
    assert found["k3"] != 2.3 and 12.0 < found["k1"] < 21.0
    assert main(["balance", str(data.parent / "plant.hog")]) == 0


@pytest.mark.slow
def test_the_fitted_class_stands_alone_whatever_its_base_leans_on(data: Path) -> None:
    own = data.parent / "own.hog"
    own.write_text(
        T10_CLASS.replace("k1 0.7 * css", "k1 share * css").replace("bench_cone", "first")
        + "let share = 0.7\nclass crusher bench_cone: first { }\n"
    )
    assert fit(data, of=f"{own}:bench_cone") == 0
    own.unlink()
    assert cone(data.parent, "bench_cone_fitted(head: 1300 mm)", "css 26 mm").models


@pytest.mark.slow
def test_a_coefficient_that_hangs_on_the_geometry_needs_it(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    own = data.parent / "own.hog"
    text = T10_CLASS.replace("k1 0.7 * css", "k1 (0.6 + head / 10 m) * css")
    own.write_text(text, encoding="utf-8")
    assert fit(data, of=f"{own}:bench_cone") == 2
    assert "--set head=" in capsys.readouterr().err
    assert fit(data, "--set", "head=1000mm", of=f"{own}:bench_cone") == 0
    small, large = (
        breakage(cone(data.parent, f"bench_cone_fitted(head: {head})", "css 26 mm"))["k1"]
        for head in ("1000 mm", "2000 mm")
    )
    assert large / small == pytest.approx(0.8 / 0.7, rel=1e-9)


@pytest.mark.slow
def test_a_coefficient_of_nothing_at_some_sample_is_held_not_scaled(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    own = data.parent / "own.hog"
    own.write_text(T10_CLASS.replace("k1 0.7 * css", "k1 max(css - 25 mm, 0 mm)"))
    assert fit(data, of=f"{own}:bench_cone") == 2
    assert "`k1`" in capsys.readouterr().err
    assert fit(data, "--free", "k2,specific_energy", of=f"{own}:bench_cone") == 0


def test_a_setting_of_nothing_is_refused(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    own = data.parent / "own.hog"
    own.write_text(T10_CLASS.replace("css: 6 mm to 60 mm", "css: mm"))
    data.write_text("size mm,feed % passing,product % passing\n80,100,100\n40,70,90\n5,9,20\n")
    assert fit(data, "--set", "css=0mm", of=f"{own}:bench_cone") == 2
    assert "above 0" in capsys.readouterr().err


@pytest.mark.slow
def test_the_setting_curve_is_fitted_too(data: Path) -> None:
    assert fit(data, "--breakage", "setting_curve", "--free", "passing_css,slope") == 0
    machine = cone(data.parent, chosen=f"{CHOSEN}; model breakage: setting_curve")
    assert 0.2 < breakage(machine)["passing_css"] < 0.98
    assert breakage(machine)["css"] == 26.0


@pytest.mark.slow
def test_hostile_names_stay_words(data: Path) -> None:
    hostile = data.parent / 'a"}{<b>&\n$(x).csv'
    hostile.write_text(table(4).replace("css 20,20", "<script>\"'&,20"), encoding="utf-8")
    assert fit(hostile) == 0
    assert main(["check", str(data.parent / "ours.hog")]) == 0
    ElementTree.parse(data.parent / "ours_residuals.svg")


@pytest.mark.slow
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.binary(max_size=300))
def test_any_bytes_end_in_a_told_fault(data: Path, content: bytes) -> None:
    data.write_bytes(content)
    assert fit(data) in (1, 2)
    assert left_over(data.parent) == {"belt_cuts.csv"}


TABLE = """
use std.jaws
source "invented for a test"
class crusher table_jaw: jaws.single_toggle {
  about "Jaw by a table"
  model breakage: table {
    css css
    feed_top 500 mm
    %F80%
    passing {
      40 mm: { 75 mm: 100 %, 50 mm: 92 %, 40 mm: 81 %, 25 mm: 56 %, 12.5 mm: 31 %, 5 mm: 15 % }
      60 mm: { 110 mm: 100 %, 75 mm: 92 %, 50 mm: 70 %, 40 mm: 58 %, 12.5 mm: 22 %, 5 mm: 10 % }
    }
  }
}
"""
TO_TABLE = ("--class", "std.jaws.single_toggle", "--set", "gape=700mm", "--set", "width=900mm")


@pytest.mark.slow
def test_a_class_is_fitted_to_the_table_of_another(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    library = tmp_path / "tables.hog"
    library.write_text(TABLE.replace("%F80%", "feed_f80 320 mm"))
    fitted = tmp_path / "fitted.hog"
    data = f"{library}:table_jaw"
    assert main(["fit", data, *TO_TABLE, "--into", str(fitted)]) == 0
    said = capsys.readouterr().out
    assert "setting 40 mm" in said and "setting 60 mm" in said
    assert not check_file(fitted).diagnostics
    words = " ".join(said.split())
    told = re.search(r"deviation ([\d.]+) % passing \(([\d.]+) root", words)
    assert told is not None and float(told[1]) < 0.7 * float(told[2])


def test_a_table_without_the_f80_of_its_feed_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    library = tmp_path / "tables.hog"
    library.write_text(TABLE.replace("%F80%", ""))
    fitted = tmp_path / "fitted.hog"
    assert main(["fit", f"{library}:table_jaw", *TO_TABLE, "--into", str(fitted)]) == 2
    assert "does not state its feed" in capsys.readouterr().err
    assert main(["fit", f"{library}:other", *TO_TABLE, "--into", str(fitted)]) == 2
    assert "has no machine class `other`" in capsys.readouterr().err
    assert not fitted.exists()
