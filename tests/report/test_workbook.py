"""Workbooks, read back with openpyxl."""

from __future__ import annotations

import io
from typing import Any

import openpyxl
import pytest

from hoggin.report import equipment, mass_balance
from hoggin.report.workbook import workbook
from hoggin.schema.results import Results

A3 = 8  # ECMA-376 part 1, 18.3.1.63 pageSetup: paperSize 8 is A3


def opened(results: Results, backend: Any) -> Any:
    return openpyxl.load_workbook(io.BytesIO(workbook(backend.document(results))))


def column(sheet: Any, heading: str) -> list[Any]:
    place = [cell.value for cell in sheet[1]].index(heading)
    return [row[place] for row in sheet.iter_rows(min_row=2)]


def test_rates_and_shares_are_numbers_with_formats(quarry: Results) -> None:
    sheet = opened(quarry, mass_balance)["Streams"]
    rates = column(sheet, "rate (t/h)")
    assert [cell.value for cell in rates] == pytest.approx([s.rate_t_h for s in quarry.streams])
    shares = column(sheet, "share of feed (%)")
    assert shares[1].value == pytest.approx(0.74)
    assert {cell.number_format for cell in shares} == {"0.0%"}


def shown(cell: Any) -> str:
    """A number as its format shows it (ECMA-376 part 1, 18.8.31: 0, a point and per cent)."""
    code = cell.number_format
    value = 100 * cell.value if code.endswith("%") else cell.value
    return f"{value:.{len(code.removesuffix('%').partition('.')[2])}f}"


@pytest.mark.parametrize("backend", [mass_balance, equipment])
def test_a_cell_shows_as_many_decimals_as_the_printed_table(quarry: Results, backend: Any) -> None:
    book, compared = opened(quarry, backend), 0
    for table in backend.document(quarry).tables:
        for place, column_ in enumerate(table.columns):
            cells = column(book[table.title], column_.full_heading)
            for cell, value in zip(cells, (row[place] for row in table.rows), strict=True):
                if isinstance(cell.value, int | float) and cell.number_format != "General":
                    assert shown(cell) == column_.text(value), (table.title, column_.full_heading)
                    compared += 1
    assert compared > 100


def test_every_stream_has_every_reporting_sieve(quarry: Results) -> None:
    sheet = opened(quarry, mass_balance)["Gradings"]
    for stream, row in zip(quarry.streams, sheet.iter_rows(min_row=2), strict=True):
        assert [cell.value for cell in row[2:]] == pytest.approx(stream.passing)


@pytest.mark.slow
@pytest.mark.parametrize("backend", [mass_balance, equipment])
def test_sheets_print_on_a3_landscape_one_page_wide_with_the_header_kept(
    quarry: Results, backend: Any
) -> None:
    book = opened(quarry, backend)
    assert len(book.sheetnames) > 3
    for sheet in book:
        assert sheet.page_setup.orientation == "landscape"
        assert int(sheet.page_setup.paperSize) == A3
        assert sheet.page_setup.fitToWidth in (None, 1)  # the schema's default is 1
        assert sheet.page_setup.fitToHeight == 0
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert "predictions for design" in sheet.oddFooter.left.text
        if sheet.title != "Notes":
            assert sheet.freeze_panes is not None and sheet.freeze_panes.endswith("2")


@pytest.mark.parametrize("backend", [mass_balance, equipment])
def test_hostile_text_is_a_string_in_every_cell(hostile: Results, backend: Any) -> None:
    for sheet in opened(hostile, backend):
        for row in sheet.iter_rows():
            for cell in row:
                assert cell.data_type in ("s", "n"), (sheet.title, cell.coordinate, cell.value)
                assert cell.hyperlink is None


def test_hostile_words_survive(hostile: Results) -> None:
    book = opened(hostile, mass_balance)
    said = [cell.value for cell in column(book["Requirements"], "requirement")]
    assert said == ['=HYPERLINK("http://x") <b>&amp; "quoted" \\N \\']


def test_notes_hold_cautions_and_assumptions(quarry: Results) -> None:
    said = [row[0].value for row in opened(quarry, equipment)["Notes"].iter_rows()]
    assert "Moisture follows the solids unchanged." in said
    assert "Guard every nip point and keep walkways clear of stored energy." in said
    assert "Results are predictions for design, not guarantees." in said
