"""Columns in runs of lines of one kind: facts, decks, ports, routes, declarations, comments."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import groupby, pairwise

_WIDEST_CELL = 34  # a longer one starts no column and holds none open
_WIDEST_CITED = 52  # what is before a source; longer lines cite without a column


@dataclass
class Row:
    """A line about to be written: indent, then cells that may be padded, then the comment.

    kind: what may be in a run with it, "" for a line that is alone. `cells` are joined by
    single spaces; all but the last may be padded. `cited` is a source at the end. `table` numbers
    the list of entries it is a line of, and `entries` are its own: (key, value) each, between
    what is before and after them.
    """

    indent: int
    kind: str
    cells: list[str]
    cited: str = ""
    comment: str = ""
    spaced: bool = False
    table: int | None = None
    entries: tuple[tuple[str, str], ...] = ()
    around: tuple[str, str] = ("", "")
    run: int = field(default=0, init=False)

    @property
    def text(self) -> str:
        return " ".join(cell for cell in self.cells if cell).rstrip()


def aligned(rows: Sequence[Row]) -> list[str]:
    """The lines' texts, with columns."""
    for table in dict.fromkeys(row.table for row in rows if row.table is not None):
        _rule_table([row for row in rows if row.table == table])
    _number_runs(rows)
    for _, run in groupby(rows, key=lambda row: row.run):
        members = list(run)
        if members[0].kind and len(members) > 1:
            _pad_cells(members)
    bodies = [row.text for row in rows]
    _set_behind(rows, bodies, lambda row: row.cited, " ", _WIDEST_CITED)
    _set_behind(rows, bodies, lambda row: row.comment, "  ", 10_000)
    return bodies


def _number_runs(rows: Sequence[Row]) -> None:
    """A run is of one kind at one depth, with no blank line and no line of comment within."""
    for before, row in pairwise(rows):
        together = (
            row.kind and row.kind == before.kind and row.indent == before.indent and not row.spaced
        )
        row.run = before.run if together else before.run + 1


def _pad_cells(rows: Sequence[Row]) -> None:
    for column in range(max(len(row.cells) for row in rows) - 1):
        ruled = [
            row
            for row in rows
            if len(row.cells) > column + 1 and len(row.cells[column]) <= _WIDEST_CELL
        ]
        width = max((len(row.cells[column]) for row in ruled), default=0)
        for row in ruled:
            row.cells[column] = _set(row.cells[column], width)


def _rule_table(rows: Sequence[Row]) -> None:
    """Entries of a list that runs over several lines are in columns."""
    columns = max(len(row.entries) for row in rows)
    ruled = len(rows) > 1

    def width(column: int, side: int) -> int:
        sides = (row.entries[column][side] for row in rows if len(row.entries) > column)
        return max(map(len, sides)) if ruled else 0

    widths = [(width(column, 0), width(column, 1)) for column in range(columns)]
    for row in rows:
        pairs = [
            _set(key, left) + (f" {_set(value, right)}" if value else "")
            for (key, value), (left, right) in zip(row.entries, widths, strict=False)
        ]
        before, behind = row.around
        listed = ", ".join(pairs).rstrip()
        row.cells = [" ".join(part for part in (before, listed, behind) if part)]


def _set(text: str, width: int) -> str:
    """Numbers are to the right of their column, words to the left."""
    return text.rjust(width) if text[:1].isdigit() else text.ljust(width)


def _set_behind(
    rows: Sequence[Row], bodies: list[str], tail: Callable[[Row], str], gap: str, widest: int
) -> None:
    """Put sources, or comments, after their lines in a column for each run of neighbours."""

    def group(place: int) -> tuple[bool, int]:
        row = rows[place]
        return bool(tail(row)) and bool(row.cells), row.indent

    places = range(len(rows))
    start = 0
    while start < len(rows):
        end = start + 1
        while end < len(rows) and group(end) == group(start) and not rows[end].spaced:
            end += 1
        if group(start)[0]:
            fitting = [p for p in places[start:end] if len(bodies[p]) <= widest]
            width = max((len(bodies[p]) for p in fitting), default=0)
            for p in places[start:end]:
                bodies[p] = bodies[p].ljust(width if p in fitting else 0) + gap + tail(rows[p])
        start = end
