"""A CSV file as a sheet, in the form of any country's spreadsheets."""

from __future__ import annotations

import contextlib
import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass

from hoggin.errors import HogginError
from hoggin.intake.sheet import MOST_CELLS, MOST_COLUMNS, MOST_ROWS, Cell, Sheet, tidy


@dataclass(frozen=True, slots=True)
class Placed:
    """The tidy text of a cell, and where in the file it begins: line and column, from 1."""

    text: str
    line: int
    column: int


@dataclass(frozen=True)
class Records:
    """The rows of a CSV text. has_decimal_commas: its cells are not separated by commas, so that a
    comma in a number can only be a decimal sign or part thousands."""

    rows: tuple[tuple[Placed, ...], ...]
    has_decimal_commas: bool


def read_comma_separated(file: str, data: bytes) -> Sheet:
    """The cells of a CSV text. Raises HogginError if it is not one, or is too large."""
    lines = [[cell.text for cell in row] for row in read_records(file, data).rows]
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


def read_records(file: str, data: bytes) -> Records:
    """The cells of every row of a CSV text, with their places. Raises HogginError where it is
    none."""
    text = _text(file, data)
    if "\0" in text:
        raise HogginError(f"`{file}` is not a text file: save the sheet as CSV")
    delimiter = _delimiter(text)
    lines = list(io.StringIO(text, newline=""))
    reader = csv.reader(iter(lines), delimiter=delimiter)
    found, begins = [], 0
    try:
        for cells in reader:
            raw = "".join(lines[begins : reader.line_num])
            placed = zip(cells, _places(raw, delimiter, begins + 1), strict=False)
            found.append(tuple(Placed(tidy(cell), *place) for cell, place in placed))
            begins = reader.line_num
    except csv.Error as fault:
        raise HogginError(f"`{file}` can't be read as CSV: {fault}") from fault
    return Records(tuple(found), delimiter != ",")


def _places(raw: str, delimiter: str, line: int) -> Iterator[tuple[int, int]]:
    """The line and column at which each cell of a row begins. As for `csv`, a quote opens a text
    only where a cell begins, and two in a text are one of its signs."""
    column, before = 1, "start"
    yield line, column
    for sign in raw:
        column += 1
        if sign == "\n":
            line, column = line + 1, 1
        if before == "text":
            before = "closed" if sign == '"' else "text"
        elif sign == '"' and before in ("start", "closed"):
            before = "text"
        elif sign == delimiter:
            before = "start"
            yield line, column
        else:
            before = "plain"


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
