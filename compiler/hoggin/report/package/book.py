"""The workbook on disk: the sheets of sums, with a front sheet, as XLSX."""

from __future__ import annotations

import io
import math
import textwrap
from collections.abc import Mapping, Sequence
from typing import Any

from hoggin.report.package.content import Report
from hoggin.report.package.ledger import BREAKS
from hoggin.report.package.list_sheets import list_sheets
from hoggin.report.package.sheet import FIRST_ROW, Cell, Field, Formula, Sheet
from hoggin.report.wording import DEFERENCE, PREDICTION, clean, shorten
from hoggin.report.workbook import A3, LONGEST_TEXT, book_in

FORMATS = {
    "text": "@",
    "rate": "0.0",
    "share": "0.0%",
    "number": "0.00",
    "gap": "0.000",
    "count": "0",
}
TYPED, HEAD = "#F0F0F0", "#E0E0E0"
WIDEST, NARROWEST = 48.0, 8.0  # characters of a column
PAGE_WIDTH = 220.0  # characters across an A3 page at which print is still legible
FRONT_WIDTHS = (24, 120)
LINE_POINTS = 15.0
OPEN_T_H = 0.0005  # a difference from here on is not written 0.000
HEADER_LENGTH = 70  # characters of the title in a page header


def workbook(report: Report, sheets: Sequence[Sheet]) -> bytes:
    """The workbook's bytes: text is never a formula or a link, a formula carries its value."""
    buffer = io.BytesIO()
    with book_in(buffer, report.title) as book:
        styles = _styles(book)
        _front(book.add_worksheet("Front"), report, styles)
        for sheet in sheets:
            _sheet(book.add_worksheet(sheet.title), sheet, styles)
        list_sheets(book, report.lists)
        for worksheet in book.worksheets():
            _page(worksheet, report)
    return buffer.getvalue()


def _styles(book: Any) -> dict[str, Any]:
    top = {"valign": "top", "bottom": 4, "bottom_color": "#BBBBBB"}
    shaded = {"bg_color": TYPED, "border": 4, "border_color": "#999999"}
    head = {"bold": True, "text_wrap": True, "valign": "bottom", "bottom": 2, "bg_color": HEAD}
    styles = {}
    for kind, code in FORMATS.items():
        side = {"align": "left", "indent": 1} if kind == "text" else {"align": "right"}
        plain = {**top, **side, "num_format": code}
        styles[kind] = book.add_format(plain)
        styles[f"typed {kind}"] = book.add_format({**plain, **shaded})
        styles[f"total {kind}"] = book.add_format({**plain, "bold": True, "top": 2})
        styles[f"head {kind}"] = book.add_format({**head, **side})
    styles["title"] = book.add_format({"bold": True, "font_size": 14})
    styles["note"] = book.add_format({"italic": True})
    styles["wrapped"] = book.add_format({"valign": "top", "text_wrap": True})
    styles["bold"] = book.add_format({"valign": "top", "bold": True, "text_wrap": True})
    styles["open"] = book.add_format({"bold": True, "bg_color": "#222222", "font_color": "#FFFFFF"})
    return styles


def _sheet(worksheet: Any, sheet: Sheet, styles: Mapping[str, Any]) -> None:
    worksheet.write_string(0, 0, sheet.title, styles["title"])
    worksheet.write_string(1, 0, sheet.note, styles["note"])
    head, last = FIRST_ROW - 2, FIRST_ROW + len(sheet.rows) - 2
    worksheet.set_row(head, 3 * LINE_POINTS)
    across = 0.0
    for place, field in enumerate(sheet.fields):
        width = _width(field, [row[place] for row in sheet.rows])
        across += width
        worksheet.set_column(place, place, width)
        worksheet.write_string(head, place, field.full_heading, styles[f"head {field.kind}"])
        if field.kind == "gap" and sheet.rows:
            _mark_open(worksheet, sheet, place, styles["open"])
    for line, row in enumerate(sheet.rows, start=FIRST_ROW - 1):
        total = sheet.totals and line == last
        for place, (field, cell) in enumerate(zip(sheet.fields, row, strict=True)):
            typed = field.typed and isinstance(cell, int | float) and not total
            look = "total " if total else "typed " if typed else ""
            _write(worksheet, line, place, cell, styles[f"{look}{field.kind}"])
    if sheet.rows and not sheet.totals:
        worksheet.autofilter(head, 0, last, len(sheet.fields) - 1)
    worksheet.freeze_panes(FIRST_ROW - 1, sheet.keys)
    worksheet.repeat_rows(head)
    worksheet.repeat_columns(0, sheet.keys - 1)
    worksheet.fit_to_pages(math.ceil(across / PAGE_WIDTH), 0)


def _mark_open(worksheet: Any, sheet: Sheet, place: int, look: Any) -> None:
    """A sum that should be 0 and is not is marked; a crusher's classes are not."""
    for line, row in enumerate(sheet.rows, start=FIRST_ROW - 1):
        if BREAKS not in row or sheet.fields[place].heading == "in less out":
            limits = {"minimum": -OPEN_T_H, "maximum": OPEN_T_H}
            rule = {"type": "cell", "criteria": "not between", **limits, "format": look}
            worksheet.conditional_format(line, place, line, place, rule)


def _write(worksheet: Any, line: int, place: int, cell: Cell, style: Any) -> None:
    match cell:
        case Formula(text=text, value=value):
            worksheet.write_formula(line, place, f"={text}", style, value)
        case str():
            worksheet.write_string(line, place, shorten(cell, LONGEST_TEXT), style)
        case None:
            worksheet.write_blank(line, place, None, style)
        case _:
            worksheet.write_number(line, place, cell, style)


def _width(field: Field, cells: Sequence[Cell]) -> float:
    if field.kind == "count":
        return NARROWEST - 1
    heading = max(len(word) for word in field.full_heading.split(" "))
    longest = max((len(clean(c)) for c in cells if isinstance(c, str)), default=0)
    return min(max(longest, heading, NARROWEST - 2), WIDEST) + 2


def _front(worksheet: Any, report: Report, styles: Mapping[str, Any]) -> None:
    """Title block, revisions, cautions: what goes with the figures wherever they go."""
    for place, width in enumerate(FRONT_WIDTHS):
        worksheet.set_column(place, place, width)
    worksheet.fit_to_pages(1, 0)
    lines: list[tuple[str, str, str]] = [("title", report.title, "")]
    lines += [("wrapped", *pair) for pair in report.block]
    lines += [("bold", "", report.statement), ("wrapped", "Units", report.units)]
    cautions = [caution for chapter in report.chapters for caution in chapter.cautions]
    lines.append(("bold", "Cautions", DEFERENCE))
    lines += [("wrapped", "", caution) for caution in cautions]
    for line, (look, label, text) in enumerate(lines):
        rows = max(1, len(textwrap.wrap(text, FRONT_WIDTHS[1] - 4)))
        worksheet.set_row(line, LINE_POINTS * (rows if look != "title" else 1.5))
        worksheet.write_string(line, 0, shorten(label, LONGEST_TEXT), styles[look])
        if text:
            worksheet.write_string(line, 1, shorten(text, LONGEST_TEXT), styles[look])


def _page(worksheet: Any, report: Report) -> None:
    title = shorten(report.title, HEADER_LENGTH).replace("&", "&&")  # one "&" starts a code
    worksheet.set_landscape()
    worksheet.set_paper(A3)
    worksheet.set_header(f"&L&B{title}&R&A")
    worksheet.set_footer(f"&L{PREDICTION} {DEFERENCE}&Rpage &P of &N")
