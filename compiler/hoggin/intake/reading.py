"""The reading of a sheet: the user's options, and the errors and notes that are found.

Each error points at its cell and shows its row.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

from hoggin.intake.headings import Quantity
from hoggin.intake.numbers import LARGEST, decimal_sign
from hoggin.intake.sheet import Cell, Sheet, SheetError, column_letters
from hoggin.report.wording import shorten
from hoggin.visible import columns

MOST_FAULTS = 30
_LONGEST_CELL = 24
_NEIGHBOURS = 4  # cells shown on each side of the one at fault


@dataclass(frozen=True, slots=True)
class Forced:
    """What the command line says about a sheet, instead of a guess; None or "" if it does not."""

    sieves: Literal["down", "across"] | None = None
    figures: Quantity | None = None
    scale: Literal["percent", "fraction"] | None = None
    unit: str = ""  # of bare sieve sizes: "mm", "um" or "in"
    decimal: str = ""  # "." or ","
    top_mm: float | None = None  # a size all of every sample passes


@dataclass
class Reading:
    sheet: Sheet
    forced: Forced = Forced()
    faults: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.notes += self.sheet.notes

    @cached_property
    def sign(self) -> str:
        """The sheet's decimal sign, in numbers stored as text."""
        texts = (cell.text for cell in self.sheet.cells() if cell.number is None)
        return self.forced.decimal or decimal_sign(texts)

    def fault(self, cell: Cell | None, message: str, help: str = "") -> None:
        """Report an error of a cell, or of the sheet without one; each is reported once."""
        text = self._told(cell, message, help)
        if text not in self.faults and len(self.faults) <= MOST_FAULTS:
            self.faults.append(text)

    def refuse(self, cell: Cell, fault: SheetError, help: str = "") -> None:
        """Report that a cell can't be read."""
        self.fault(cell, f"{quoted(cell.text)}: {fault}", fault.help or help)

    def is_unfit(self, cell: Cell, date: str, help: str) -> bool:
        """Whether a cell can't be a figure; then it is reported, a date with the message `date`."""
        if cell.fault:
            self.fault(cell, cell.fault, "open and save the sheet, or write the value itself")
        elif cell.is_date:
            self.fault(cell, date, help)
        elif cell.number is not None and abs(cell.number) > LARGEST:
            self.fault(cell, "this number is too large or too small")
        else:
            return False
        return True

    def note(self, sentence: str) -> None:
        if sentence not in self.notes:
            self.notes.append(sentence)

    def report(self) -> str:
        """All errors and their count; "" if there are none."""
        if not self.faults:
            return ""
        shown = self.faults[:MOST_FAULTS]
        count = f"{len(shown)} error{'' if len(shown) == 1 else 's'}"
        more = "; there are more" if len(self.faults) > MOST_FAULTS else ""
        return "\n".join(shown) + f"\n{count}{more}; nothing was written\n"

    def _told(self, cell: Cell | None, message: str, help: str) -> str:
        where = self.sheet.name if cell is None else f"{self.sheet.name}, cell {cell.place}"
        lines = [f"{shorten(where, 200)}: {message}"]
        if cell is not None:
            lines += _row(self.sheet, cell)
        if help:
            lines.append(f"  help: {help}")
        return "\n".join(lines) + "\n"


def _row(sheet: Sheet, cell: Cell) -> list[str]:
    """The row of a cell, each cell under its column's letters, with a mark below the one meant."""
    heads, texts, marks = [], [], []
    for other in sheet.row_as_written(cell.row):
        # A row's first cell says what the row is of.
        if other.column != 1 and abs(other.column - cell.column) > _NEIGHBOURS:
            continue
        head, text = column_letters(other.column), shorten(other.text, _LONGEST_CELL)
        wide = max(columns(text), len(head))
        heads.append(head.ljust(wide))
        texts.append(text + " " * (wide - columns(text)))
        marks.append(("^" if other.column == cell.column else " ") * wide)
    gutter = f"{cell.row:>5} | "
    blank = " " * (len(gutter) - 2) + "| "
    lines = (blank + "   ".join(heads), gutter + " | ".join(texts), blank + "   ".join(marks))
    return [line.rstrip() for line in lines]


def quoted(text: str) -> str:
    """A cell's text, for a sentence."""
    return f"`{shorten(text, 40)}`"
