"""`hoggin import` as a user meets it: the library, the plant that uses it, its refusals."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.balance import balance
from hoggin.check.checker import check_file
from hoggin.commands.main import main
from tests.intake.making import Rows, write_csv, write_xlsx

LAB: Rows = [
    ["Sample", "Pit run, north", "Face 2"],
    ["Sieve (mm)", "Mass retained (g)", "Passing (%)"],
    [125, 0, 100],
    [63, 1000, 70],
    [31.5, 1500, 45.5],
    [4, 1500, 12.25],
    ["Pan", 1000, 0],
]
# By hand: 5000 g, of which 0, 20, 50 and 80 % are retained down to each sieve.
NORTH = ((125.0, 1.0), (63.0, 0.8), (31.5, 0.5), (4.0, 0.2))
FACE = ((125.0, 1.0), (63.0, 0.7), (31.5, 0.455), (4.0, 0.1225))
PRODUCTS: Rows = [
    ["Product", "Size (mm)", "Wanted (t/h)", "63 mm", "31.5 mm"],
    ["Coarse", "31.5/63", 40, "95-100", "0-20"],
    ["Fine", "0/31.5", None, 100, "85-99"],
]
PLANT = """\
use std.screens
use "lab.hog" as lab
%USE%
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }
plant "One screen, a scenario of our own" {
  sieves { 125 mm, 63 mm, 31.5 mm, 4 mm }
  feed pit { rock rock; rate 100 t/h; passing lab.pit_run_north }
  feed face { rock rock; rate 50 t/h; passing lab.face_2 }
  screen sizing: screens.inclined(width: 2100 mm, length: 6000 mm) { deck top 31.5 mm square }
  pit -> sizing
  face -> sizing
  sizing.over -> coarse
  sizing.under -> fine
%PRODUCTS%
}
"""


@pytest.fixture
def lab(tmp_path: Path) -> Path:
    return write_xlsx(tmp_path / "lab.xlsx", LAB)


def test_a_plant_uses_what_was_taken_in(
    lab: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["import", "gradings", str(lab), "--into", str(tmp_path / "lab.hog")]) == 0
    assert capsys.readouterr().out == f"{tmp_path / 'lab.hog'}\n"
    wanted = write_csv(tmp_path / "wanted.csv", PRODUCTS, ";")
    assert main(["import", "products", str(wanted), "--into", str(tmp_path / "wanted.hog")]) == 0
    lines = capsys.readouterr().out.splitlines()
    use = next(line for line in lines if line.startswith("use "))
    body = "\n".join(line for line in lines if line.startswith(("product ", "require ")))
    plant = tmp_path / "plant.hog"
    plant.write_text(PLANT.replace("%USE%", use).replace("%PRODUCTS%", body), encoding="utf-8")
    for library in ("lab.hog", "wanted.hog"):
        assert check_file(tmp_path / library).diagnostics == ()
        assert main(["format", "--check", str(tmp_path / library)]) == 0
    checked = check_file(plant)
    assert checked.diagnostics == ()
    assert checked.plant is not None
    for feed, points in zip(checked.plant.feeds, (FACE, NORTH), strict=True):
        assert [mm for mm, _ in feed.grading] == [mm for mm, _ in points]
        assert [p for _, p in feed.grading] == pytest.approx([p for _, p in points], abs=1e-9)
    assert len(checked.plant.requirements) == 3
    assert float(balance(checked.plant).closure[0]) < 1e-9


def test_the_library_names_its_sheet_and_has_the_same_bytes_each_time(
    lab: Path, tmp_path: Path
) -> None:
    into = tmp_path / "lab.hog"
    assert main(["import", "gradings", str(lab), "--into", str(into)]) == 0
    first = into.read_bytes()
    assert main(["import", "gradings", str(lab), "--into", str(into), "--overwrite"]) == 0
    assert into.read_bytes() == first
    assert b'source "lab.xlsx, sheet Gradings, column B: masses retained on each sieve"' in first


def test_faults_write_nothing_and_notes_go_beside_the_output(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bad = write_csv(tmp_path / "lab.csv", [*LAB[:4], [31.5, "l500", "-"], *LAB[5:]])
    assert main(["import", "gradings", str(bad), "--into", str(tmp_path / "lab.hog")]) == 1
    out, told = capsys.readouterr()
    assert out == ""
    assert "lab.csv, cell B5: `l500`: this is not a number" in told
    assert "lab.csv, cell C5: `-` may mean 0, or not sieved" in told
    assert not (tmp_path / "lab.hog").exists()
    good = write_csv(tmp_path / "lab.csv", LAB)
    assert main(["import", "gradings", str(good)]) == 0
    out, told = capsys.readouterr()
    assert out.startswith("# Written by") and "note: " not in out
    assert "note: `Pit run, north` is called `pit_run_north`" in told


def test_refusals(lab: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    there = tmp_path / "there.hog"
    there.write_text("let a = 1 mm\n")
    (tmp_path / "lab.xls").write_bytes(b"\xd0\xcf\x11\xe0")
    for arguments, sentence in (
        ([str(lab), "--into", str(there)], "already exists"),
        ([str(lab), "--into", str(tmp_path / "lab.txt")], "ends in `.hog`"),
        ([str(tmp_path / "none.csv")], "no such file"),
        ([str(tmp_path)], "is not .xlsx or .csv"),
        ([str(tmp_path / "lab.xls")], "is not .xlsx or .csv"),
        ([f"{lab}:May"], "has no sheet `May`"),
    ):
        assert main(["import", "gradings", *arguments]) == 2
        assert sentence in capsys.readouterr().err
    assert there.read_text() == "let a = 1 mm\n"


def test_options_force_what_would_be_guessed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rows: Rows = [["Sieve", "A"], ["4,000", "1,000"], ["0,500", "0,4"], ["0,063", "0,04"]]
    path = str(write_csv(tmp_path / "lab.csv", rows, ";"))
    forced = ["--decimal", "comma", "--values", "passing", "--values-in", "fraction"]
    assert main(["import", "gradings", path, *forced, "--unit", "mm", "--sieves", "down"]) == 0
    assert "4 mm: 100 %, 0.5 mm: 40 %, 0.063 mm: 4 %" in capsys.readouterr().out
    with pytest.raises(SystemExit):
        main(["import", "gradings", path, "--top-size", "big"])
    assert "`big`: this is not a sieve" in capsys.readouterr().err
