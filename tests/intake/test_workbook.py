"""Workbooks made by xlsxwriter, openpyxl and an office program; hostile ones; CSV of all sorts."""

from __future__ import annotations

import datetime
import shutil
import subprocess
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest
import xlsxwriter

from hoggin.errors import HogginError
from hoggin.intake.comma_separated import read_comma_separated
from hoggin.intake.gradings import Grading, read_gradings
from hoggin.intake.opening import open_sheet, split
from hoggin.intake.reading import Forced, Reading
from hoggin.intake.sheet import column_letters
from tests.intake.making import Rows, write_csv, write_xlsx

ROWS: Rows = [["Sieve (mm)", "Passing (%)"], [16, 100], [8, 75.5], [4, 40], [0.063, 1.2]]
TRUTH = {16.0: 100.0, 8.0: 75.5, 4.0: 40.0, 0.063: 1.2}


def taken(path: Path, title: str = "") -> tuple[tuple[Grading, ...], Reading]:
    _, sheet = open_sheet(f"{path}:{title}" if title else str(path), lambda _: True)
    reading = Reading(sheet)
    return read_gradings(reading), reading


def test_merged_headings_formulas_per_cent_and_text_numbers(tmp_path: Path) -> None:
    path = tmp_path / "lab.xlsx"
    book = xlsxwriter.Workbook(str(path))
    page = book.add_worksheet("Gradings")
    per_cent = book.add_format({"num_format": "0.0%"})
    page.merge_range("A1:E1", "Gradings of March, lower and upper pit")
    page.merge_range("B2:C2", "Lower pit")
    page.merge_range("D2:E2", "Upper pit")
    page.write_row(
        "A3", ["Sieve (mm)", "Retained (%)", "Passing (%)", "Retained (%)", "Passing (%)"]
    )
    for row, (mm, on, through) in enumerate([(16, 0, 1.0), (8, 25, 0.75), (4, 35, 0.4)], 3):
        page.write(row, 0, mm)
        page.write(row, 1, on)
        page.write_formula(row, 2, "=1-SUM(B4:B4)", per_cent, through)
        page.write_string(row, 3, str(on))
        page.write_number(row, 4, through, per_cent)
    book.close()
    found, reading = taken(path)
    assert reading.faults == []
    assert [(g.sample, dict(g.points)) for g in found] == [
        ("Lower pit", {16: 100, 8: 75, 4: 40}),
        ("Upper pit", {16: 100, 8: 75, 4: 40}),
    ]
    assert "3 cells are formulas" in reading.notes[0]


def test_a_formula_saved_without_a_value_is_told_at_its_cell(tmp_path: Path) -> None:
    path = tmp_path / "lab.xlsx"
    book = openpyxl.Workbook()
    for row in [*ROWS[:2], [8, "=100-24.5"], *ROWS[3:]]:
        book.active.append(row)
    book.save(path)  # openpyxl computes nothing
    found, reading = taken(path)
    assert found == ()
    assert "cell B3: this formula was saved without a value" in reading.report()


def test_cells_of_faults_and_dates_are_told(tmp_path: Path) -> None:
    rows: list[list[Any]] = [
        ["Sieve (mm)", "Passing (%)"],
        [16, 100],
        [8, "#DIV/0!"],
        [datetime.date(2026, 3, 8), 40],
    ]
    path = write_xlsx(tmp_path / "lab.xlsx", [*rows, [2, 10]])
    _, reading = taken(path)
    report = reading.report()
    assert "cell B3: the cell has the error #DIV/0!" in report
    assert "cell A4: `2026-03-08`: this is a date: a spreadsheet reads 3/8 as a date" in report


def test_the_sheet_is_named_or_is_the_only_one_with_sieves(tmp_path: Path) -> None:
    path = tmp_path / "lab.xlsx"
    book = openpyxl.Workbook()
    book.active.append(["Notes", "none"])
    for title in ("March", "April"):
        page = book.create_sheet(title)
        for row in ROWS:
            page.append(row)
    book.save(path)
    assert dict(taken(path, "April")[0][0].points) == TRUTH
    with pytest.raises(HogginError, match="has no sheet `May`; it has `Sheet`, `March`, `April`"):
        taken(path, "May")
    with pytest.raises(HogginError, match="several sheets"):
        open_sheet(str(path), lambda sheet: sheet.title != "Sheet")
    assert open_sheet(str(path), lambda sheet: sheet.title == "March")[1].title == "March"


def test_a_workbook_without_a_cell_is_told(tmp_path: Path) -> None:
    path = tmp_path / "lab.xlsx"
    book = openpyxl.Workbook()
    book.create_sheet("Other")
    book.save(path)
    with pytest.raises(HogginError, match="has no sheet with cells"):
        open_sheet(str(path), lambda _: True)


def test_a_colon_may_be_of_the_files_own_name(tmp_path: Path) -> None:
    assert split("lab.xlsx:March 1") == (Path("lab.xlsx"), "March 1")
    odd = write_csv(tmp_path / "lab.xlsx:x.csv", ROWS)
    assert split(str(odd)) == (odd, "")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_csv_of_any_office(encoding: str, end: str) -> None:
    text = end.join(
        ["Siebgröße µm;Passing (%)", '16000;"100,0"', "8000;75,5", "4000;40", "63;1,2", ""]
    )
    sheet = read_comma_separated("lab.csv", text.encode(encoding))
    reading = Reading(sheet, Forced(unit="um"))
    found = read_gradings(reading)
    assert reading.faults == []
    assert dict(found[0].points) == TRUTH


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("soffice") is None, reason="no office program here")
def test_a_workbook_that_an_office_program_saved(tmp_path: Path) -> None:
    write_csv(tmp_path / "lab.csv", [*ROWS, ["Pan", "=0+0"]])
    profile = f"-env:UserInstallation=file://{tmp_path}/profile"
    convert = ["soffice", profile, "--headless", "--convert-to", "xlsx", "--outdir", str(tmp_path)]
    done = subprocess.run(
        [*convert, str(tmp_path / "lab.csv")], capture_output=True, timeout=180, check=False
    )
    if not (tmp_path / "lab.xlsx").exists():
        pytest.skip(f"the office program does not run here: {done.stderr!r}")
    found, reading = taken(tmp_path / "lab.xlsx")
    assert reading.faults == []
    assert dict(found[0].points) == TRUTH


# --- hostile files


def packed(path: Path, parts: dict[str, bytes]) -> Path:
    """A workbook with some of its parts exchanged."""
    good = write_xlsx(path.with_name("good.xlsx"), ROWS)
    with zipfile.ZipFile(good) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            if name not in parts:
                new.writestr(name, old.read(name))
        for name, content in parts.items():
            new.writestr(name, content)
    return path


@pytest.mark.slow
def test_a_zip_bomb_is_refused_unread(tmp_path: Path) -> None:
    bomb = packed(tmp_path / "bomb.xlsx", {"xl/media/image1.png": b"\0" * 60_000_000})
    assert bomb.stat().st_size < 100_000
    with pytest.raises(HogginError, match="is too large"):
        taken(bomb)


def test_too_many_cells_are_refused_before_they_are_read(tmp_path: Path) -> None:
    cells = b"<sheetData>" + b"<row>" + b"<c/>" * 500_000 + b"</row></sheetData>"
    with pytest.raises(HogginError, match="is too large"):
        taken(packed(tmp_path / "big.xlsx", {"xl/worksheets/sheet1.xml": cells}))


def test_a_cell_far_out_does_not_make_a_huge_sheet(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active["XFD1048576"] = 1
    book.save(tmp_path / "far.xlsx")
    with pytest.raises(HogginError, match="1,048,576 rows"):
        taken(tmp_path / "far.xlsx")


def test_entities_are_refused(tmp_path: Path) -> None:
    bad = b'<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]><x>&a;</x>'
    with pytest.raises(HogginError, match="defines entities"):
        taken(packed(tmp_path / "xxe.xlsx", {"xl/sharedStrings.xml": bad}))


@pytest.mark.parametrize(
    "part", ["xl/workbook.xml", "xl/styles.xml", "xl/worksheets/sheet1.xml", "[Content_Types].xml"]
)
@pytest.mark.parametrize("content", [b"", b"<x/>", b"<", b"\0\xff" * 50])
def test_broken_parts_end_in_a_sentence(tmp_path: Path, part: str, content: bytes) -> None:
    try:
        taken(packed(tmp_path / "broken.xlsx", {part: content}))
    except HogginError as fault:
        assert "broken.xlsx" in str(fault)


@pytest.mark.parametrize(
    "data", [b"", b"PK\x03\x04", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, b"\0" * 99]
)
def test_what_is_no_workbook_is_told(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "lab.xlsx").write_bytes(data)
    with pytest.raises(HogginError, match=r"not an \.xlsx workbook"):
        taken(tmp_path / "lab.xlsx")


def test_a_link_to_another_workbook_is_not_followed(tmp_path: Path) -> None:
    path = tmp_path / "lab.xlsx"
    book = xlsxwriter.Workbook(str(path))
    page = book.add_worksheet()
    for number, row in enumerate(ROWS):
        page.write_row(number, 0, row)
    page.write_formula("B4", "='[other.xlsx]Sheet1'!A1", None, 40)
    page.write_formula("B5", '=HYPERLINK("http://example.invalid","x")', None, 1.2)
    book.close()
    found, reading = taken(path)
    assert reading.faults == []
    assert dict(found[0].points) == TRUTH


def test_a_csv_that_is_none_is_refused() -> None:
    with pytest.raises(HogginError, match="is not a text file"):
        read_comma_separated("x.csv", b"a,b\n\0,1\n")
    with pytest.raises(HogginError, match="rows"):
        read_comma_separated("x.csv", b"1\n" * 6000)
    with pytest.raises(HogginError, match="can't be read as CSV"):
        read_comma_separated("x.csv", b'a,"' + b"x" * 200_000)


def test_columns_have_the_letters_of_spreadsheets() -> None:
    """Reference: openpyxl."""
    for column in (1, 26, 27, 52, 702, 703, 16384):
        assert column_letters(column) == openpyxl.utils.get_column_letter(column)
