"""The lists of the report as sheets of the workbook, with a chart beside those that it helps."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from hoggin.report.tables import Table
from hoggin.report.workbook import Formats, table_sheet

AWAY = 1  # columns between a table and its chart
SIZE_PX = {"width": 760, "height": 460}
SUMMED = "all"  # the first word of a row of sums, which no chart shows
INKS = ("#222222", "#7A7A7A", "#B0B0B0")
DASHES = ("solid", "dash", "round_dot", "dash_dot", "long_dash")
_Bars = tuple[str, tuple[str, ...]]  # the unit of the axis, and the columns of its bars
BARS: dict[str, _Bars] = {
    "Products": ("t/h", ("rate",)),
    "Motor list": ("kW", ("connected", "drawn", "demand")),
}
CURVES = "Product gradings"
OWN = {CURVES: "Gradings", "Products": "Product list", "Streams": "Stream list"}


def list_sheets(book: Any, tables: Sequence[Table]) -> None:
    """A sheet for each table that has rows."""
    formats = Formats(book)
    for table in tables:
        if table.rows:
            sheet = book.add_worksheet(name_of(table))
            table_sheet(sheet, table, formats)
            sheet.fit_to_pages(1, 0)
            chart = _chart(book, table)
            if chart is not None:
                chart.set_size(SIZE_PX)
                sheet.insert_chart(1, len(table.columns) + AWAY, chart)


def name_of(table: Table) -> str:
    """Its title, but where a sheet of sums has that name."""
    return OWN.get(table.title, table.title)


def _chart(book: Any, table: Table) -> Any:
    if table.title == CURVES:
        return _curves(book, table)
    if table.title in BARS:
        return _bars(book, table, *BARS[table.title])
    return None


def _rows(table: Table) -> int:
    """So many of its first rows are of single things, not sums."""
    return sum(not str(row[0]).startswith(SUMMED) for row in table.rows)


def _bars(book: Any, table: Table, unit: str, headings: Sequence[str]) -> Any:
    chart = book.add_chart({"type": "bar"})
    name, last = name_of(table), _rows(table)
    for place, ink in zip(_places(table, headings), INKS, strict=False):
        chart.add_series(
            {
                "name": [name, 0, place],
                "categories": [name, 1, 0, last, 0],
                "values": [name, 1, place, last, place],
                "fill": {"color": ink},
            }
        )
    chart.set_y_axis({"reverse": True})
    chart.set_x_axis({"name": unit})
    chart.set_title({"name": table.title, "overlay": False})
    return chart


def _places(table: Table, headings: Sequence[str]) -> Iterator[int]:
    found = [column.heading for column in table.columns]
    return (found.index(heading) for heading in headings if heading in found)


def _curves(book: Any, table: Table) -> Any:
    """Per cent passing over the log of size: sieves down, a curve for each column beside them."""
    chart = book.add_chart({"type": "scatter", "subtype": "straight_with_markers"})
    name, last = name_of(table), len(table.rows)
    for place in range(1, len(table.columns)):
        dash = DASHES[(place - 1) % len(DASHES)]
        chart.add_series(
            {
                "name": [name, 0, place],
                "categories": [name, 1, 0, last, 0],
                "values": [name, 1, place, last, place],
                "line": {"color": INKS[0], "width": 1.5, "dash_type": dash},
                "marker": {"type": "circle", "size": 4, "fill": {"color": INKS[0]}},
            }
        )
    sizes = [float(row[0]) for row in table.rows if isinstance(row[0], int | float)]
    ends = {"min": min(sizes), "max": max(sizes)}
    chart.set_x_axis({"name": "sieve, mm", "log_base": 10, "crossing": "min", **ends})
    chart.set_y_axis({"name": "passing, % by mass", "min": 0, "max": 1, "num_format": "0%"})
    chart.set_title({"name": table.title, "overlay": False})
    return chart
