"""A sheet of the workbook as data: typed numbers, and formulas with their values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

FIRST_ROW = 4  # of a sheet's lines, counted from 1; the headings are in the row above
Kind = Literal["text", "rate", "share", "number", "gap", "count"]


@dataclass(frozen=True, slots=True)
class Formula:
    """`text` is without its `=`; `value` is what it comes to until something is typed."""

    text: str
    value: float


Cell = str | float | Formula | None
Line = tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Field:
    """A column of a sheet. `typed` marks numbers of the balance, that may be typed over."""

    heading: str
    kind: Kind
    typed: bool = False
    unit: str = ""

    @property
    def full_heading(self) -> str:
        unit = self.unit or ("%" if self.kind == "share" else "")
        return f"{self.heading} ({unit})" if unit else self.heading


@dataclass(frozen=True, slots=True)
class Sheet:
    """`keys` is the number of columns that stay in sight; `totals` whether the last line sums."""

    title: str
    note: str
    fields: tuple[Field, ...]
    rows: tuple[Line, ...]
    keys: int
    totals: bool = False

    def place(self, heading: str) -> int:
        return [field.heading for field in self.fields].index(heading)

    def run(self, heading: str, *, pinned: bool = False) -> str:
        """The cells of a column, as another sheet names them: `'In less out'!F$4:F$9`."""
        column = f"{'$' if pinned else ''}{letters(self.place(heading))}"
        return f"'{self.title}'!{column}${FIRST_ROW}:{column}${FIRST_ROW + len(self.rows) - 1}"


def fields(kind: Kind, *headings: str, unit: str = "") -> tuple[Field, ...]:
    """Columns of one kind that are not typed."""
    return tuple(Field(heading, kind, unit=unit) for heading in headings)


def letters(place: int) -> str:
    """A column's letters: 0 is A, 26 is AA."""
    name = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        name = chr(ord("A") + rest) + name
    return name
