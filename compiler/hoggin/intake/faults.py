"""Faults of a sheet: each points at its cell and shows its row."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass, field

from hoggin.intake.sheet import Cell, Sheet, column_letters
from hoggin.report.wording import shorten

MOST_FAULTS = 30
_LONGEST_CELL = 24
_NEIGHBOURS = 4  # cells shown on each side of the one at fault


@dataclass
class Findings:
    """What reading a sheet gathers beside its data: faults, and notes of what was guessed."""

    sheet: Sheet
    faults: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def fault(self, cell: Cell | None, message: str, help: str = "") -> None:
        """Report a fault of a cell, or of the sheet where it has none; each is told once."""
        text = self._told(cell, message, help)
        if text not in self.faults and len(self.faults) <= MOST_FAULTS:
            self.faults.append(text)

    def note(self, sentence: str) -> None:
        if sentence not in self.notes:
            self.notes.append(sentence)

    @property
    def is_full(self) -> bool:
        return len(self.faults) > MOST_FAULTS

    def report(self) -> str:
        """All faults and a closing count; "" where there are none."""
        if not self.faults:
            return ""
        shown = self.faults[:MOST_FAULTS]
        count = f"{len(shown)} fault{'' if len(shown) == 1 else 's'}"
        more = "; there are more" if self.is_full else ""
        return "\n".join(shown) + f"\n{count}{more}; nothing is written\n"

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
    cells = [other for other in sheet.row_as_written(cell.row) if _is_near(other, cell)]
    widths = [max(width(_shown(c)), len(column_letters(c.column))) for c in cells]
    heads, texts, marks = [], [], []
    for other, wide in zip(cells, widths, strict=True):
        heads.append(column_letters(other.column).ljust(wide))
        texts.append(_shown(other) + " " * (wide - width(_shown(other))))
        marks.append(("^" * wide if other.column == cell.column else "").ljust(wide))
    gutter = f"{cell.row:>5} | "
    blank = " " * (len(gutter) - 2) + "| "
    return [
        (blank + "   ".join(heads)).rstrip(),
        (gutter + " | ".join(texts)).rstrip(),
        (blank + "   ".join(marks)).rstrip(),
    ]


def _is_near(other: Cell, cell: Cell) -> bool:
    """Near the one at fault, or the row's first: it says what the row is of."""
    return other.column == 1 or abs(other.column - cell.column) <= _NEIGHBOURS


def _shown(cell: Cell) -> str:
    return shorten(cell.text, _LONGEST_CELL)


def width(text: str) -> int:
    """How many columns of a terminal a text takes."""
    wide = sum(unicodedata.east_asian_width(letter) in "WF" for letter in text)
    return len(text) + wide - sum(unicodedata.combining(letter) > 0 for letter in text)


def quoted(text: str) -> str:
    """What a cell says, for a sentence."""
    return f"`{shorten(text, 40)}`"
