"""A sheet as a grid of cells. Each knows its own place, so that a sheet can be transposed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain

from hoggin.errors import HogginError

LONGEST_TEXT = 200  # of a cell; what is longer is a remark, and cut
MOST_ROWS, MOST_COLUMNS, MOST_CELLS = 5000, 400, 200_000


class SheetError(HogginError):
    """A cell's content is not possible; the message says why, `help` what to write."""

    def __init__(self, message: str, help: str = "") -> None:
        super().__init__(message)
        self.help = help


@dataclass(frozen=True, slots=True)
class Cell:
    """The content of a cell. A number in a spreadsheet is `number`; text is only `text`.

    `number` of a cell that is shown in per cent is in per cent (`is_percent`). `origin` differs
    from the cell's own place if several were merged: all of them have the content of the first.
    """

    row: int  # from 1
    column: int  # from 1
    text: str = ""
    number: float | None = None
    is_percent: bool = False
    is_date: bool = False
    fault: str = ""  # what keeps it from being read at all
    origin: tuple[int, int] | None = None

    @property
    def is_blank(self) -> bool:
        return not self.text and not self.fault

    @property
    def place(self) -> str:
        return f"{column_letters(self.column)}{self.row}"


@dataclass(frozen=True)
class Sheet:
    """The cells of a sheet by row; every row is as long as the longest."""

    file: str
    title: str  # of the sheet in a workbook; "" in a CSV
    rows: tuple[tuple[Cell, ...], ...]
    is_turned: bool = False  # columns given as rows
    notes: tuple[str, ...] = ()  # of what was found while reading it

    @property
    def name(self) -> str:
        return f"{self.file}, sheet {self.title}" if self.title else self.file

    def turned(self) -> Sheet:
        """The same cells, columns for rows."""
        return replace(self, rows=tuple(zip(*self.rows, strict=True)), is_turned=not self.is_turned)

    def cells(self) -> Iterator[Cell]:
        return chain.from_iterable(self.rows)

    def row_as_written(self, number: int) -> Sequence[Cell]:
        """The cells of a row by its number in the file, even if the sheet is transposed."""
        if self.is_turned:
            return [column[number - 1] for column in self.rows]
        return self.rows[number - 1]


def column_letters(column: int) -> str:
    """1 is A, 27 is AA."""
    letters = ""
    while column:
        column, digit = divmod(column - 1, 26)
        letters = chr(ord("A") + digit) + letters
    return letters


def tidy(text: str) -> str:
    """A cell's text on one line, without spaces around it, and of limited length."""
    return " ".join(text.replace("\ufeff", " ").split())[:LONGEST_TEXT]
