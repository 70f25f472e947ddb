"""A table drawn for a terminal, with plain rules so that it stays clean in a mail.

Every column is as wide as its longest cell while the table fits. Otherwise columns of words wrap,
and a table that would have to wrap too much is split by columns into blocks. Words are never cut,
unless one is wider than the terminal. (The table printers tried do not split, do not align decimal
points, and shorten words with an ellipsis.)
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest

from hoggin.folding import width_of, words, wrapped
from hoggin.paint import Paint, plain
from hoggin.report.tables import Column, Table
from hoggin.report.wording import gravity

GAP = 2  # blanks between two columns
_HEADING = 10  # columns that the words of a heading take before they wrap
_COMFORT = 0.6  # share of its declared width down to which a column of words wraps well


@dataclass(frozen=True, slots=True)
class _Column:
    """A column as drawn. `comfort` is the width down to which it wraps well, `least` that of its
    longest word. A column of numbers has one width."""

    heading: tuple[str, ...]
    cells: tuple[str, ...]
    of: Column
    full: int
    comfort: int
    least: int


def drawn(table: Table, width: int, paint: Paint = plain) -> str:
    """The table in lines no wider than `width`."""
    blocks = split_to_width(table, width)
    return "\n\n".join(_grid(_columns(block), width, paint) for block in blocks)


def split_to_width(table: Table, width: int) -> tuple[Table, ...]:
    """The table in the fewest blocks no wider than `width`, each led by the key columns.

    Blocks are of about the same width. Each has at least one column beside its keys, so that a
    narrow terminal still shows all.
    """
    widths = [column.comfort + GAP for column in _columns(table)]
    room = width + GAP - sum(widths[: table.keys])
    blocks = _packed(widths, table.keys, room)
    for less in range(room - 1, 0, -1):
        tighter = _packed(widths, table.keys, less)
        if len(tighter) > len(blocks):
            break
        blocks = tighter
    return tuple(table.keep([*range(table.keys), *block]) for block in blocks)


def _packed(widths: list[int], first: int, room: int) -> list[list[int]]:
    """Places from `first` on in runs that fit the room, or of one where even that is too wide."""
    blocks: list[list[int]] = [[]]
    used = 0
    for place in range(first, len(widths)):
        if blocks[-1] and used + widths[place] > room:
            blocks.append([])
            used = 0
        blocks[-1].append(place)
        used += widths[place]
    return blocks


def _columns(table: Table) -> list[_Column]:
    return [_column(table, place) for place in range(len(table.columns))]


def _column(table: Table, place: int) -> _Column:
    of = table.columns[place]
    unit = (of.unit,) if of.unit else ()
    heading = (*wrapped(of.heading, max(_HEADING, _longest(of.heading.split()))), *unit)
    texts = table.texts(place)
    cells = tuple(t + " " * len(pad) for t, pad in zip(texts, table.pads(place), strict=True))
    full = max(_longest(heading), _longest(cells))
    if of.numeric:
        return _Column(heading, cells, of, full, full, full)
    least = max(_longest(heading), _longest(word for text in texts for word in words(text)))
    comfort = min(full, max(least, round(_COMFORT * of.width)))
    return _Column(heading, cells, of, full, comfort, least)


def _longest(texts: Iterable[str]) -> int:
    return max(map(width_of, texts), default=0)


def _widths(columns: Sequence[_Column], width: int) -> list[int]:
    """The widths of columns: whole if they fit, else those of words evenly less, down to what wraps
    well, then to the longest word, and where even that is too wide, to less."""
    room = width - GAP * (len(columns) - 1)
    full, comfort, least, cut = (
        [one.full for one in columns],
        [one.comfort for one in columns],
        [one.least for one in columns],
        [one.full if one.of.numeric else 1 for one in columns],
    )
    widths = full
    for tops, floors in ((full, comfort), (comfort, least), (least, cut)):
        for level in range(max(tops), -1, -1):
            widths = [min(top, max(floor, level)) for top, floor in zip(tops, floors, strict=True)]
            if sum(widths) <= room:
                return widths
    return widths


def _grid(columns: Sequence[_Column], width: int, paint: Paint) -> str:
    widths = _widths(columns, width)
    headings = zip_longest(*(one.heading for one in columns), fillvalue="")
    rules = ["-" * one for one in widths]
    rows = zip(*(one.cells for one in columns), strict=True)
    lines = [*(_line(columns, widths, heading) for heading in headings), "  ".join(rules)]
    for row in rows:
        lines += _row(columns, widths, row, paint)
    return "\n".join(lines)


def _row(
    columns: Sequence[_Column], widths: Sequence[int], row: Sequence[str], paint: Paint
) -> Iterator[str]:
    """The lines of a row: words wrapped, numbers with their points under each other."""
    inks = [
        gravity(cell) if one.of.judges else None for one, cell in zip(columns, row, strict=True)
    ]
    cells = [
        [cell] if one.of.numeric else wrapped(cell, width)
        for one, cell, width in zip(columns, row, widths, strict=True)
    ]
    for parts in zip_longest(*cells, fillvalue=""):
        inked = (paint(ink, part) if ink else part for ink, part in zip(inks, parts, strict=True))
        yield _line(columns, widths, tuple(inked))


def _line(columns: Sequence[_Column], widths: Sequence[int], parts: Sequence[str]) -> str:
    """A line of the table, each part to its side."""
    cells = (
        _right(part, width) if one.of.numeric else part + " " * (width - width_of(part))
        for one, part, width in zip(columns, parts, widths, strict=True)
    )
    return (" " * GAP).join(cells).rstrip()


def _right(part: str, width: int) -> str:
    return " " * (width - width_of(part)) + part
