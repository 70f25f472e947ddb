"""A machine's table in a spreadsheet becomes a class; what can't be read is reported by its cell.

The tables are invented for these tests.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.api.plant import load
from hoggin.check.checker import check_file
from hoggin.commands.main import main
from hoggin.schema.plant import Machine
from tests.intake.making import Rows, write_csv, write_xlsx

TABLE: Rows = [
    ["Invented jaw"],
    ["Sieve (mm)", "CSS 40 mm", "CSS 60 mm"],
    [90, 100, 100],
    [63, 100, 84],
    [40, 84, 56],
    [10, 26, 17],
    ["Capacity (t/h)", "60 - 80", "90 - 120"],
    ["Feed top size", "500 mm", None],
    ["F80 of the feed", "320 mm", None],
    ["Bulk density", "1.6 t/m3", None],
]
ACROSS: Rows = [
    ["CSS (mm)", "90 mm", "63 mm", "40 mm", "10 mm", "Capacity t/h"],
    ["60 mm", 100, 84, 56, 17, "90 to 120"],
    ["40 mm", 100, 100, 84, 26, "60 to 80"],
]
PLANT = """\
use "ours.hog" as ours
use std.rocks
plant "One jaw, a scenario of our own" {
  sieves { 90 mm, 63 mm, 40 mm, 10 mm }
  feed pit { rock rocks.granite; rate 60 t/h; passing { 450 mm: 100 %, 250 mm: 50 %, 10 mm: 5 % } }
  crusher primary: ours.jaw(gape: 600 mm, width: 900 mm) { css 60 mm }
  pit -> primary -> product all
}
"""
OPTIONS = ["--extends", "std.jaws.single_toggle", "--name", "jaw"]
FEED = ["--feed-top", "500mm", "--feed-f80", "320mm", "--bulk-density", "1.6t/m3"]


def imported(folder: Path, sheet: Path, *options: str) -> Machine:
    library = folder / "ours.hog"
    assert main(["import", "table", str(sheet), *OPTIONS, *options, "--into", str(library)]) == 0
    plant = folder / "plant.hog"
    plant.write_text(PLANT)
    checked = check_file(plant)
    assert checked.plant is not None, [d.message for d in checked.diagnostics]
    return checked.plant.machines[0]


@pytest.mark.parametrize("kind", ["csv", "xlsx", "across"])
def test_the_class_has_the_figures_of_the_sheet(tmp_path: Path, kind: str) -> None:
    if kind == "csv":
        jaw = imported(tmp_path, write_csv(tmp_path / "jaw.csv", TABLE, ";"))
    elif kind == "xlsx":
        jaw = imported(tmp_path, write_xlsx(tmp_path / "jaw.xlsx", TABLE))
    else:
        jaw = imported(tmp_path, write_xlsx(tmp_path / "jaw.xlsx", ACROSS), *FEED)
    breakage, capacity = jaw.models["breakage"], jaw.models["capacity"]
    assert [(row.setting_mm, row.points) for row in breakage.table] == [
        (40.0, ((63.0, 1.0), (40.0, 0.84), (10.0, 0.26))),
        (60.0, ((90.0, 1.0), (63.0, 0.84), (40.0, 0.56), (10.0, 0.17))),
    ]
    assert [(row.setting_mm, row.points) for row in capacity.table] == [
        (40.0, ((60.0, 80.0),)),
        (60.0, ((90.0, 120.0),)),
    ]
    assert breakage.coefficients == {"css": 60.0, "feed_top": 500.0, "feed_f80": 320.0}
    assert capacity.coefficients["bulk_density"] == 1.6


def test_a_plant_with_the_class_makes_the_tables_product(tmp_path: Path) -> None:
    imported(tmp_path, write_csv(tmp_path / "jaw.csv", TABLE, ","))
    product = load(tmp_path / "plant.hog").balance().document.products[0]
    assert list(product.passing) == pytest.approx([1.0, 0.84, 0.56, 0.17])


def test_inches_and_short_tons_are_read(tmp_path: Path) -> None:
    rows: Rows = [
        ["Sieve", "CSS 2.25 in", "CSS 3 in"],
        ["3.5 in", 100, 100],
        ["2.25 in", 85, 70],
        ["No. 4", 12, 9],
        ["Capacity (stph)", 60, "80 to 110"],
    ]
    library = tmp_path / "ours.hog"
    sheet = write_csv(tmp_path / "jaw.csv", rows, ",")
    assert main(["import", "table", str(sheet), *OPTIONS, *FEED, "--into", str(library)]) == 0
    text = library.read_text()
    assert "57.15 mm: {" in text and "76.2 mm: {" in text
    assert "57.15 mm: 60 stph, 76.2 mm: 80 stph to 110 stph" in text


def fault(
    folder: Path, capsys: pytest.CaptureFixture[str], row: int, column: int, value: str | float
) -> str:
    """What is reported where one cell of the table is another."""
    rows = [list(line) for line in TABLE]
    rows[row][column] = value
    sheet = write_csv(folder / "jaw.csv", rows, ";")
    assert main(["import", "table", str(sheet), *OPTIONS, "--into", str(folder / "o.hog")]) == 1
    assert not (folder / "o.hog").exists()
    return capsys.readouterr().err


@pytest.mark.parametrize(
    ("row", "column", "value", "told"),
    [
        (4, 1, 184, "cell B5"),
        (4, 2, 90, "cell C5"),
        (6, 2, "lots", "cell C7: `lots`: this is not a number"),
        (7, 1, "big", "cell B8: `big`: this is not a number"),
        (1, 2, "CSS 40 mm", "cell C2: a second grading for the setting 40 mm"),
        (1, 2, "wide", "cell C2: column C, headed `wide`: this is not a setting"),
    ],
)
def test_what_can_not_be_is_reported_with_its_cell(
    *, tmp_path: Path, capsys: pytest.CaptureFixture[str], row: int, column: int,
    value: str | float, told: str,
) -> None:  # fmt: skip
    assert told in fault(tmp_path, capsys, row, column, value)


def test_a_table_that_does_not_say_its_feed_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = write_xlsx(tmp_path / "jaw.xlsx", ACROSS)
    assert main(["import", "table", str(sheet), *OPTIONS]) == 1
    said = capsys.readouterr().err
    assert "which feed the table is for" in said and "bulk density" in said


def test_a_wider_setting_with_a_finer_product_is_refused_by_the_compiler(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rows = [list(line) for line in TABLE]
    rows[4][2] = 84.5
    rows[3][2] = 90
    sheet = write_csv(tmp_path / "jaw.csv", rows, ";")
    assert main(["import", "table", str(sheet), *OPTIONS]) != 0
    assert "84.5 % passes 40 mm at the setting 60 mm" in capsys.readouterr().err
