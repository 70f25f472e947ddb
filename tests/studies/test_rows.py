"""Tables of cases: what a spreadsheet of any country may hold, and what comes back of each row."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import openpyxl
import pytest

import hoggin
from hoggin.commands.main import main

pytestmark = pytest.mark.slow

EXAMPLES = Path(__file__).parents[2] / "examples"
GRAVEL, SEASONS = EXAMPLES / "gravel.hog", EXAMPLES / "seasons.hog"
GERMAN = (
    "name;cone.css (mm);pit_run.rate;cone.chamber;note\n"
    "A;12,5;100 t/h;medium;as today\n"
    "B;14;120;fine;\n"
    "C;1.900,5;120;fine;too wide\n"
)


def swept(folder: Path, *arguments: str) -> list[dict[str, str]]:
    assert main(["sweep", *arguments, "--jobs", "1", "--into", str(folder)]) == 0
    return list(csv.DictReader((folder / "sweep.csv").read_text().splitlines()))


def test_a_table_with_semicolons_and_decimal_commas_keeps_its_columns_and_order(
    tmp_path: Path,
) -> None:
    table = tmp_path / "cases.csv"
    table.write_text(GERMAN, encoding="utf-8")
    rows = swept(tmp_path / "out", str(GRAVEL), "--rows", str(table), "--result", "coarse.rate")
    assert list(rows[0])[:6] == [
        "row",
        "name",
        "cone.css (mm)",
        "pit_run.rate (t/h)",
        "cone.chamber",
        "note",
    ]
    assert [(row["name"], row["cone.css (mm)"], row["note"]) for row in rows] == [
        ("A", "12.5", "as today"),
        ("B", "14", ""),
        ("C", "1900.5", "too wide"),
    ]
    plant = hoggin.load(GRAVEL)
    alone = plant.balance({"cone.css": "12.5 mm", "pit_run.rate": 100, "cone.chamber": "medium"})
    assert float(rows[0]["coarse.rate (t/h)"]) == pytest.approx(alone["coarse.rate"], rel=1e-6)
    reason = "`cone.css` is 1900.5 mm and must be from 6 mm to 60 mm, its class's range"
    assert rows[2]["why there is no balance"] == reason


def test_a_workbook_gives_what_the_same_csv_gives(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Trials"
    for row in (
        ["name", "cone.css (mm)", "pit_run.rate", "cone.chamber", "note"],
        ["A", 12.5, "100 t/h", "medium", "as today"],
        ["B", 14, 120, "fine", None],
        ["C", 1900.5, 120, "fine", "too wide"],
    ):
        sheet.append(row)
    book.create_sheet("Notes")["A1"] = "nothing"
    book.save(tmp_path / "cases.xlsx")
    (tmp_path / "cases.csv").write_text(GERMAN, encoding="utf-8")
    of_book = swept(tmp_path / "book", str(GRAVEL), "--rows", str(tmp_path / "cases.xlsx:Trials"))
    of_text = swept(tmp_path / "text", str(GRAVEL), "--rows", str(tmp_path / "cases.csv"))
    assert of_book == of_text
    sheet["B3"], sheet["C4"] = "twelve", "=1/0"
    book.save(tmp_path / "cases.xlsx")
    with pytest.raises(hoggin.HogginError) as caught:
        hoggin.load(GRAVEL).study(f"{tmp_path / 'cases.xlsx'}:Trials")
    places = [line.split(": ")[0].rpartition(":")[2] for line in str(caught.value).splitlines()]
    assert places == ["B3", "C4"]


def test_results_are_written_to_a_workbook_and_json_with_units(tmp_path: Path) -> None:
    (tmp_path / "cases.csv").write_text(GERMAN, encoding="utf-8")
    rows = swept(tmp_path / "out", str(GRAVEL), "--rows", str(tmp_path / "cases.csv"))
    sheet = openpyxl.load_workbook(tmp_path / "out" / "sweep.xlsx")["Sweep"]
    headings, *below = sheet.iter_rows(values_only=True)
    assert list(headings) == list(rows[0])
    assert [row[2] for row in below] == [12.5, 14, 1900.5]
    found = json.loads((tmp_path / "out" / "sweep.json").read_text())
    assert [one["unit"] for one in found["outputs"]] == ["t/h", "t/h", "t/h"]
    assert found["places"] == [f"{tmp_path / 'cases.csv'}:{line}" for line in (2, 3, 4)]


def test_a_column_of_the_plants_cases_balances_each_row_in_its_own(tmp_path: Path) -> None:
    table = tmp_path / "cases.csv"
    table.write_text("case,pit.rate\nwet,150\n,150\nsecond_pit,200\nwet,200\n", encoding="utf-8")
    plant = hoggin.load(SEASONS)
    study = plant.study(table, ["ballast.rate"])
    for row, (case, rate) in enumerate(
        (("wet", 150), ("", 150), ("second_pit", 200), ("wet", 200))
    ):
        alone = plant.balance({"pit.rate": rate}, case=case)
        assert study["ballast.rate"][row] == pytest.approx(alone["ballast.rate"], rel=1e-6)
        assert study.met[row] == alone.met


def test_a_requirement_of_one_case_is_not_asked_of_the_rows_of_another(tmp_path: Path) -> None:
    text = SEASONS.read_text().replace(
        "case wet", "require ballast.rate >= 1 t/h in wet\n  case wet", 1
    )
    plant = tmp_path / "plant.hog"
    plant.write_text(text)
    study = hoggin.load(plant).study({"case": ["wet", ""], "pit.rate": [150, 150]})
    (asked,) = [one for one in study.document.requirements if "ballast.rate >= 1" in one.text]
    assert asked.verdicts == ("met", "not asked")


def test_an_empty_cell_is_the_case_of_the_command() -> None:
    plant = hoggin.load(SEASONS)
    study = plant.study(
        {"case": ["", "second_pit"], "pit.rate": [150, 150]}, ["ballast.rate"], case="wet"
    )
    for row, case in enumerate(("wet", "second_pit")):
        alone = plant.balance({"pit.rate": 150}, case=case)
        assert study["ballast.rate"][row] == pytest.approx(alone["ballast.rate"], rel=1e-6)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("case,pit.rate\nwat,150\n", "cases.csv:2:1: the plant has no case `wat`"),
        ("pit.rate\n1.500;2\n", "cases.csv:2:7: `2` is to the right of the last heading"),
        ("pit.rate;\n150;2\n", "cases.csv:1:10: this column has no heading"),
        ("pit.rate;note\n1.500;\n", "cases.csv:2:1: `pit.rate`: `1.500` may be 1500 or 1.500"),
        ("name,note\na,b\n", "the cases set nothing"),
        ('name,pit.rate\n"two\nlines",x\n', "cases.csv:3:8: `pit.rate`: `x` is neither"),
    ],
)
def test_what_is_wrong_in_a_cell_is_told_with_its_line_and_column(
    tmp_path: Path, text: str, said: str
) -> None:
    (tmp_path / "cases.csv").write_text(text, encoding="utf-8")
    with pytest.raises(hoggin.HogginError) as caught:
        hoggin.load(SEASONS).study(tmp_path / "cases.csv")
    assert said in str(caught.value)


def test_every_bad_cell_of_a_column_is_told(tmp_path: Path) -> None:
    (tmp_path / "cases.csv").write_text("pit.rate\n" + "x\n" * 60 + "150\n", encoding="utf-8")
    with pytest.raises(hoggin.HogginError) as caught:
        hoggin.load(SEASONS).study(tmp_path / "cases.csv")
    assert len(str(caught.value).splitlines()) == 60


def test_a_step_that_the_class_does_not_allow_is_a_row_with_its_reason(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The others are what single balances give; nothing is refused as a whole."""
    over = ["--over", "cone.css 4 mm, 12 mm, 13 mm, 70 mm", "--over", "cone.chamber medium, fine"]
    rows = swept(tmp_path, str(GRAVEL), *over, "--result", "cone.load")
    said = " ".join(capsys.readouterr().out.split())  # however it is wrapped
    assert "there is no balance at 4" in said
    assert "`cone.css` is 4 mm and must be from 6 mm to 60 mm, its class's range" in said
    plant = hoggin.load(GRAVEL)
    for row in rows:
        css, chamber = float(row["cone.css (mm)"]), row["cone.chamber"]
        if 6 <= css <= 60:
            alone = plant.balance({"cone.css": css, "cone.chamber": chamber})
            # The size classes are those of the starting css: see tests/api/test_study.py.
            assert float(row["cone.load (%)"]) == pytest.approx(alone["cone.load"], rel=3e-4)
        else:
            assert row["requirements"] == "no balance"


@pytest.mark.parametrize("command", ["sweep", "uncertainty"])
def test_a_study_is_a_verdict_only_where_one_is_expected(tmp_path: Path, command: str) -> None:
    text = GRAVEL.read_text()
    assert "require cone.load <= 100 %" in text
    text = text.replace("require cone.load <= 100 %", "require cone.load <= 1 %")
    text = text.replace("120 t/h", "normal(120 t/h, 1 %)")
    (tmp_path / "plant.hog").write_text(text)
    asked = {"sweep": ["--over", "cone.css 12 mm, 13 mm"], "uncertainty": ["--samples", "20"]}
    arguments = [command, str(tmp_path / "plant.hog"), *asked[command], "--jobs", "1"]
    arguments += ["--into", str(tmp_path / "out")]
    assert main(arguments) == 0
    assert main([*arguments, "--expect-met"]) == 4
