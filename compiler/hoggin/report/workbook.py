"""Documents as XLSX workbooks: a sheet per table, then the notes."""

from __future__ import annotations

import io
import math
import textwrap
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from typing import Any

from hoggin.report.tables import Column, Document, Table, Value
from hoggin.report.wording import DEFERENCE, PREDICTION, clean, shorten
from hoggin.schema.figures import Figures

CREATED = datetime(2000, 1, 1, tzinfo=UTC)  # fixed, so that the same results give the same bytes
LONGEST_TEXT = 32000  # a cell of the format holds a little more
LINE_POINTS = 15.0
NOTE_WIDTH = 120
A3 = 8  # the paper's number in the workbook format


def workbook(document: Document) -> bytes:
    """The document's bytes; numbers stay numbers, text is never read as a formula or a link."""
    buffer = io.BytesIO()
    with book_in(buffer, document.title) as book:
        formats = Formats(book)
        for table in document.tables:
            table_sheet(book.add_worksheet(table.title), table, formats)
        _notes_sheet(book.add_worksheet("Notes"), document, formats.of(None), formats.header)
        for sheet in book.worksheets():
            _page(sheet, document)
    return buffer.getvalue()


@contextmanager
def book_in(buffer: io.BytesIO, title: str) -> Iterator[Any]:
    """A new workbook, the same bytes for the same content: text is text there, never a formula,
    a link or a number."""
    from xlsxwriter import Workbook

    options = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
    }
    with Workbook(buffer, options) as book:
        named = {"title": shorten(title, 200), "comments": PREDICTION, "created": CREATED}
        book.set_properties(named)
        yield book


def number_format(figures: Figures | None, value: Value) -> str:
    """The format in which a cell shows as many decimals as the printed table."""
    if figures is None:
        return "@"
    if not isinstance(value, int | float) or not math.isfinite(value):  # no number is shown
        return "General"
    if figures.coarse or figures.nominal:
        return "General"
    decimals = len(figures.text(value).partition(".")[2])
    return ("0." + "0" * decimals if decimals else "0") + ("%" if figures.share else "")


class Formats:
    """The formats of a book's cells, each made once."""

    def __init__(self, book: Any) -> None:
        self._book = book
        self.header = book.add_format(
            {"bold": True, "text_wrap": True, "valign": "top", "bottom": 2, "bg_color": "#EEEEEE"}
        )
        self._made: dict[str, Any] = {}

    def of(self, figures: Figures | None, value: Value = None) -> Any:
        code = number_format(figures, value)
        if code not in self._made:
            wrap = {"text_wrap": True} if figures is None else {}
            form = {"num_format": code, "valign": "top", **wrap}
            self._made[code] = self._book.add_format(form)
        return self._made[code]


def table_sheet(sheet: Any, table: Table, formats: Formats) -> None:
    """A table with a filter over every column, its headings kept in sight and on every page."""
    widths = [_width(table, place) for place in range(len(table.columns))]
    headings = [column.full_heading for column in table.columns]
    sheet.set_row(0, _height(headings, widths))
    for line, row in enumerate(table.rows, start=1):
        texts = [c.text(value) for c, value in zip(table.columns, row, strict=True)]
        sheet.set_row(line, _height(texts, widths))
    for place, column in enumerate(table.columns):
        sheet.set_column(place, place, widths[place])
        sheet.write_string(0, place, clean(column.full_heading), formats.header)
        for line, row in enumerate(table.rows, start=1):
            style = formats.of(column.figures, row[place])
            _write(sheet, line, place, _cell(column, row[place]), style)
    if table.rows:
        sheet.autofilter(0, 0, len(table.rows), len(table.columns) - 1)
    sheet.freeze_panes(1, table.keys)
    sheet.repeat_rows(0)


def _cell(column: Column, value: Value) -> Value:
    """The number behind a cell; that of a coarse one has no more digits than a reader sees."""
    return column.number(value) if column.figures and column.figures.coarse else value


def _write(sheet: Any, line: int, place: int, value: Value, style: Any) -> None:
    if value is None or (isinstance(value, float) and not math.isfinite(value)):
        sheet.write_blank(line, place, None, style)
    elif isinstance(value, str):
        sheet.write_string(line, place, shorten(value, LONGEST_TEXT), style)
    else:
        sheet.write_number(line, place, value, style)


def _width(table: Table, place: int) -> float:
    column: Column = table.columns[place]
    longest = max((len(column.text(row[place])) for row in table.rows), default=0)
    heading = max(len(word) for word in column.full_heading.split(" "))
    return min(max(longest, heading, 6), 2 * column.width) + 2


def _height(texts: Sequence[str], widths: Sequence[float]) -> float:
    """Points that a row needs with its texts wrapped: not every spreadsheet works it out."""
    lines = (_lines(text, width) for text, width in zip(texts, widths, strict=True))
    return LINE_POINTS * max(lines, default=1)


def _lines(text: str, width: float) -> int:
    return max(1, len(textwrap.wrap(text, max(1, int(width) - 1))))


def _notes_sheet(sheet: Any, document: Document, style: Any, header: Any) -> None:
    lines: list[tuple[str, Any]] = [(clean(document.title), header), (document.subtitle, style)]
    for section in document.sections:
        words = (*section.notes, *section.points)
        if words:
            lines.append((clean(section.heading), header))
            lines += [(shorten(word, LONGEST_TEXT), style) for word in words]
    sheet.set_column(0, 0, NOTE_WIDTH)
    for line, (text, look) in enumerate(lines):
        sheet.set_row(line, _height([text], [NOTE_WIDTH]))
        sheet.write_string(line, 0, text, look)


def _page(sheet: Any, document: Document) -> None:
    def literal(text: str, length: int) -> str:
        return shorten(text, length).replace("&", "&&")  # one "&" starts a code in a page header

    sheet.set_landscape()
    sheet.set_paper(A3)
    sheet.fit_to_pages(1, 0)
    sheet.hide_gridlines(0)
    sheet.set_header(f"&L&B{literal(document.title, 70)}&R{literal(document.subtitle, 50)}")
    sheet.set_footer(f"&L{PREDICTION} {DEFERENCE}&R&A, page &P of &N")
