"""Tables and documents as data; the renderers turn them into text, Markdown, CSV or workbooks.

A cell holds the raw value (a fraction where the reader sees per cent); its column says how it is
written. So a terminal, a workbook and a CSV file show the same number in their own way.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from hoggin.report import wording

Kind = Literal["text", "rate", "percent", "size", "number", "count", "price"]
Value = str | float | int | None


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
        match self.kind:
            case "rate":
                return wording.rate(value)
            case "percent":
                return wording.percent(value)
            case "size":
                return wording.size(value)
            case "count":
                return wording.fixed(value, 0)
            case "price":
                return wording.fixed(value, 3)
            case _:
                return wording.fixed(value, 2)

    def number(self, value: Value) -> Value:
        """The value as a program reads it, in the column's unit: per cent, not a fraction."""
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

    def keep(self, wanted: Sequence[int]) -> Table:
        """The table with only the columns at these places."""
        return Table(
            self.title,
            tuple(self.columns[i] for i in wanted),
            tuple(tuple(row[i] for i in wanted) for row in self.rows),
            self.keys,
        )


@dataclass(frozen=True, slots=True)
class Section:
    """A heading, then what it has of notes, a table and bullet points."""

    heading: str
    notes: tuple[str, ...] = ()
    table: Table | None = None
    points: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Document:
    """A titled run of sections, ready for any renderer."""

    title: str
    subtitle: str
    sections: tuple[Section, ...]

    @property
    def tables(self) -> tuple[Table, ...]:
        return tuple(s.table for s in self.sections if s.table is not None)
