"""A CSV file as a sheet, in the form of any country's spreadsheets."""

from __future__ import annotations

import contextlib
import csv
import io

from hoggin.errors import HogginError
from hoggin.intake.sheet import MOST_CELLS, MOST_COLUMNS, MOST_ROWS, Cell, Sheet, tidy


def read_comma_separated(file: str, data: bytes) -> Sheet:
    """The cells of a CSV text. Raises HogginError if it is not one, or is too large."""
    lines = [cells for _, cells in read_lines(file, data)]
    longest = max(map(len, lines), default=0)
    check_size(file, len(lines), longest)
    rows = tuple(
        tuple(
            Cell(row, column, text)
            for column, text in enumerate(line + [""] * (longest - len(line)), 1)
        )
        for row, line in enumerate(lines, 1)
    )
    return Sheet(file, "", rows)


def read_lines(file: str, data: bytes) -> list[tuple[int, list[str]]]:
    """The tidy cells of every row of a CSV text, with the number of the line that it begins on.
    Raises HogginError where it is none."""
    text = _text(file, data)
    if "\0" in text:
        raise HogginError(f"`{file}` is not a text file: save the sheet as CSV")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text))
    found, begins = [], 1
    try:
        for cells in reader:
            found.append((begins, [tidy(cell) for cell in cells]))
            begins = reader.line_num + 1
    except csv.Error as fault:
        raise HogginError(f"`{file}` can't be read as CSV: {fault}") from fault
    return found


def check_size(name: str, rows: int, columns: int) -> None:
    """Raises HogginError for a sheet that is too large for a laboratory's."""
    if rows > MOST_ROWS or columns > MOST_COLUMNS or rows * columns > MOST_CELLS:
        raise HogginError(
            f"`{name}` has {rows:,} rows and {columns:,} columns; the limits are "
            f"{MOST_ROWS:,} rows, {MOST_COLUMNS:,} columns and {MOST_CELLS:,} cells"
        )


def _text(file: str, data: bytes) -> str:
    """UTF-8 with or without its mark, UTF-16 with one, otherwise the usual Western encoding."""
    is_wide = data.startswith((b"\xff\xfe", b"\xfe\xff"))
    for encoding in ("utf-16",) if is_wide else ("utf-8-sig", "cp1252"):
        with contextlib.suppress(UnicodeDecodeError):
            return data.decode(encoding)
    raise HogginError(f"`{file}` is not a text file: save the sheet as CSV")


def _delimiter(text: str) -> str:
    """Semicolons or tabs if any line has them; commas are then decimal commas. Text in quotes does
    not count."""
    outside = "".join(text.split('"')[::2])
    return next((sign for sign in ";\t" if sign in outside), ",")
