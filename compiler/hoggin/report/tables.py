"""Tables and documents as data; the renderers turn them into text, Markdown, CSV or workbooks.

A cell holds the raw value (a fraction where the reader sees per cent); its column says how it is
written. So a terminal, a workbook and a CSV file show the same number in their own way.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from hoggin.report import wording

Kind = Literal["text", "rate", "percent", "size", "number", "count", "price", "estimate"]
ESTIMATE_DIGITS = 2  # of a figure that a factor of one or two digits gives
Value = str | float | int | None
_DECIMALS: dict[Kind, int] = {"rate": 1, "text": 2, "number": 2, "count": 0, "price": 3}


@dataclass(frozen=True, slots=True)
class Column:
    """`width` is the widest a text cell grows before it wraps, in characters."""

    heading: str
    unit: str = ""
    kind: Kind = "text"
    width: int = 24

    @property
    def numeric(self) -> bool:
        return self.kind != "text"

    @property
    def full_heading(self) -> str:
        return f"{self.heading} ({self.unit})" if self.unit else self.heading

    def text(self, value: Value) -> str:
        """The value as a reader sees it."""
        if value is None:
            return wording.ABSENT
        if isinstance(value, str):
            return wording.clean(value)
        if self.kind == "size":
            return wording.size(value)
        if self.kind == "percent":
            return wording.percent(value)
        if self.kind == "estimate":
            return wording.significant(value, ESTIMATE_DIGITS)
        return wording.fixed(value, _DECIMALS[self.kind])

    def number(self, value: Value) -> Value:
        """The value as a program reads it, in the column's unit: per cent, not a fraction, and an
        estimate no finer than it is known."""
        if self.kind == "estimate" and isinstance(value, float | int):
            return float(wording.significant(value, ESTIMATE_DIGITS))
        if self.kind == "percent" and isinstance(value, float | int):
            return 100 * value
        return value


@dataclass(frozen=True, slots=True)
class Table:
    """`keys` is the number of leading columns repeated when a wide table is split."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...]
    keys: int = 1

    def __post_init__(self) -> None:
        for row in self.rows:
            if len(row) != len(self.columns):
                raise ValueError(f"table {self.title!r}: a row of {len(row)} cells")

    def then(self, *row: Value) -> Table:
        """The table with one more row, such as a sum."""
        return replace(self, rows=(*self.rows, row))

    def keep(self, wanted: Sequence[int]) -> Table:
        """The table with only the columns at these places."""
        columns = tuple(self.columns[i] for i in wanted)
        return replace(
            self, columns=columns, rows=tuple(tuple(row[i] for i in wanted) for row in self.rows)
        )


@dataclass(frozen=True, slots=True)
class Section:
    """A heading, then optional notes, a table and bullet points."""

    heading: str
    notes: tuple[str, ...] = ()
    table: Table | None = None
    points: tuple[str, ...] = ()

    @property
    def has_rows(self) -> bool:
        return self.table is not None and bool(self.table.rows)

    @property
    def says(self) -> bool:
        """Whether there is anything under the heading."""
        return bool(self.notes or self.points or self.has_rows)


def where_rows(heading: str, notes: tuple[str, ...], table: Table) -> tuple[Section, ...]:
    """The section of a table; none where the table has no rows."""
    return (Section(heading, notes, table),) if table.rows else ()


@dataclass(frozen=True, slots=True)
class Document:
    """A titled run of sections, ready for any renderer."""

    title: str
    subtitle: str
    sections: tuple[Section, ...]

    @property
    def tables(self) -> tuple[Table, ...]:
        return tuple(s.table for s in self.sections if s.table is not None)
