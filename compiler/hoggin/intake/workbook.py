"""A sheet of an .xlsx workbook. Formulas are not run: their saved values are used.

A workbook is a zip file of XML from an untrusted source, so it is measured before it is read.
"""

from __future__ import annotations

import datetime
import io
import math
import re
import warnings
import zipfile
import zlib
from dataclasses import replace
from typing import Any

from hoggin.errors import HogginError
from hoggin.intake.comma_separated import check_size
from hoggin.intake.measured import Measured
from hoggin.intake.sheet import Cell, Sheet, tidy
from hoggin.report.wording import shorten

MOST_PARTS = 2000
_CHUNK = 1 << 20


class Workbook:
    """An opened workbook. Raises HogginError if it can't be read."""

    def __init__(self, file: str, data: bytes) -> None:
        self.file = file
        _measure(file, data)
        import openpyxl

        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of parts we have no use for
            try:
                self._values, self._formulas = (
                    openpyxl.load_workbook(io.BytesIO(data), data_only=is_value, keep_links=False)
                    for is_value in (True, False)
                )
            # What a stranger's XML may raise in the library is without end, and nothing of it is
            # ours to mend.
            except Exception as fault:
                raise HogginError(
                    f"`{file}` can't be read as a workbook ({shorten(str(fault), 80)}): open it in "
                    "a spreadsheet and save it again as .xlsx, or as CSV"
                ) from fault

    @property
    def titles(self) -> tuple[str, ...]:
        """Of the sheets that are shown and hold cells."""
        return tuple(
            sheet.title
            for sheet in self._values.worksheets
            if sheet.sheet_state == "visible" and _filled(sheet)
        )

    def sheet(self, title: str) -> Sheet:
        """The cells of a sheet. Raises HogginError if there is no such sheet, or it is too
        large."""
        found = [sheet for sheet in self._values.worksheets if sheet.title == title]
        if not found:
            raise HogginError(f"`{self.file}` has no sheet `{title}`; {self.named_sheets()}")
        cells = _filled(found[0])
        stated = _filled(self._formulas[title])
        formulas = {place for place, cell in stated.items() if cell.data_type == "f"}
        used = cells.keys() | formulas
        rows, columns = (max((place[axis] for place in used), default=0) for axis in (0, 1))
        check_size(f"{self.file}:{title}", rows, columns)
        merged = _merged(found[0], rows, columns)

        def cell(row: int, column: int) -> Cell:
            """The content of a cell, or of the first cell it was merged with."""
            origin = merged.get((row, column))
            place = origin or (row, column)
            blank = Cell(row, column, origin=origin)
            if place in cells:
                return _filled_in(blank, cells[place])
            if place not in formulas:
                return blank
            return replace(blank, text="(formula)", fault="this formula was saved without a value")

        grid = tuple(
            tuple(cell(row, column) for column in range(1, columns + 1))
            for row in range(1, rows + 1)
        )
        told = f"{len(formulas)} cells are formulas: their last saved values are used"
        notes = (told,) if formulas else ()
        return Sheet(self.file, title, grid, notes=notes)

    def named_sheets(self) -> str:
        shown = ", ".join(f"`{title}`" for title in self.titles[:12])
        return f"it has {shown}" if shown else "it has none with cells"


def _measure(file: str, data: bytes) -> None:
    """Unpack every part in small pieces, without keeping them, to check what is in it."""
    refused = f"`{file}` is not an .xlsx workbook"
    if data[:8] == b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1":
        raise HogginError(
            f"{refused}: it has the old format, or is locked with a password. Save it as .xlsx "
            "without one"
        )
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = archive.infolist()
            if len(parts) > MOST_PARTS:
                raise HogginError(f"{refused}: it has {len(parts):,} parts")
            measured = Measured(file)
            for part in parts:
                with archive.open(part) as stream:
                    measured.part(part.filename, iter(lambda: stream.read(_CHUNK), b""))
    except (zipfile.BadZipFile, zlib.error, OSError, EOFError, ValueError, RuntimeError) as fault:
        raise HogginError(f"{refused}: save the sheet as .xlsx or as CSV") from fault
    except NotImplementedError as fault:
        raise HogginError(f"{refused}: its compression is not supported") from fault


def _filled(sheet: Any) -> dict[tuple[int, int], Any]:
    """Cells that were written, by row and column; a sheet's stated size is not trusted."""
    written = (cell for cell in sheet._cells.values() if cell.value is not None)
    return {(cell.row, cell.column): cell for cell in written}


def _merged(sheet: Any, rows: int, columns: int) -> dict[tuple[int, int], tuple[int, int]]:
    """By place of a merged cell: the first of its range."""
    return {
        (row, column): (area.min_row, area.min_col)
        for area in sheet.merged_cells.ranges
        for row in range(area.min_row, min(area.max_row, rows) + 1)
        for column in range(area.min_col, min(area.max_col, columns) + 1)
    }


def _filled_in(cell: Cell, found: Any) -> Cell:
    """The cell with what the workbook holds there."""
    value = found.value
    if found.data_type == "e":
        return replace(cell, text=str(value), fault=f"the cell has the error {value}")
    if isinstance(value, datetime.datetime | datetime.date):
        return replace(cell, text=value.isoformat()[:10], is_date=True)
    if isinstance(value, bool) or not isinstance(value, int | float):
        return replace(cell, text=tidy(str(value)))
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        return replace(cell, text="(no finite number)", fault="the number is not finite")
    # In quotes or after a backslash, a per cent sign is a mere letter of the cell's format.
    if "%" not in re.sub(r'"[^"]*"|\\.', "", str(found.number_format)):
        return replace(cell, text=f"{number:.12g}", number=number)
    number *= 100.0
    return replace(cell, text=f"{number:.12g} %", number=number, is_percent=True)
