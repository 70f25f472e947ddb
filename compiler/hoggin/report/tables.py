"""Tables and documents as data; the renderers turn them into text, Markdown, CSV or workbooks.

A cell holds the raw value (a fraction where the reader sees per cent); its column says how it is
written. So a terminal, a workbook and a CSV file show the same number in their own way.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from hoggin.report import wording
from hoggin.schema.figures import STATED, Figures

Value = str | float | int | None


@dataclass(frozen=True, slots=True)
class Column:
    """`figures` says how many of a number's digits are shown; words have none. A column of words
    wraps at about `width` letters where there is no room for more. One that `judges` has verdicts.
    """

    heading: str
    unit: str = ""
    figures: Figures | None = None
    width: int = 24
    judges: bool = False

    @property
    def numeric(self) -> bool:
        return self.figures is not None

    @property
    def full_heading(self) -> str:
        return f"{self.heading} ({self.unit})" if self.unit else self.heading

    def text(self, value: Value) -> str:
        """The value as a reader sees it."""
        if isinstance(value, str):
            return wording.clean(value)
        if value is None or not math.isfinite(value):
            return wording.ABSENT
        return (self.figures or STATED).text(value)

    def number(self, value: Value) -> Value:
        """The value as a program reads it, in the column's unit: per cent, not a fraction, and a
        coarse number no finer than it is known."""
        if self.figures is None or not isinstance(value, float | int) or not math.isfinite(value):
            return value
        known = self.figures.number(value) if self.figures.coarse else value
        return 100 * known if self.figures.share else known


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

    def texts(self, place: int) -> tuple[str, ...]:
        """The cells of a column as a reader sees them."""
        return tuple(self.columns[place].text(row[place]) for row in self.rows)

    def pads(self, place: int) -> tuple[str, ...]:
        """What each cell of a column lacks at its end, as invisible letters, so that the decimal
        points of a column of numbers are under each other."""
        texts = self.texts(place)
        if not self.columns[place].numeric:
            return ("",) * len(texts)
        ends = [f".{text.partition('.')[2]}" if "." in text else "" for text in texts]
        longest = max(ends, key=len, default="")
        full = "." + "0" * (len(longest) - 1) if longest else ""
        return tuple(full[len(end) :] for end in ends)

    def filled(self) -> Table:
        """The table without the columns in which nothing is known."""
        places = range(len(self.columns))
        known = {place for place in places if any(row[place] is not None for row in self.rows)}
        return self.keep([place for place in places if place in known or place < self.keys])

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
