"""Widths of tables on paper: what fits a page is set on it, what does not is split by columns.

Widths are estimates on the wide side (`lettering`); texts wrap between words, so that a little too
little room costs a line and never a letter.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum

from hoggin.report.lettering import BOLD, BREAK, ems
from hoggin.report.tables import Column, Table
from hoggin.report.wording import clean, gravity, shorten

SIZES_PT = (9.0, 8.5, 8.0, 7.5, 7.0)  # of the text, tried from the largest
PAD_PT = 7.0  # of a cell, left and right together
LONGEST_WORD = 26  # letters; a longer one may be broken
MOST_LETTERS = 4000  # of a cell
SHORT_HEADING = 11  # letters; a longer one over numbers is set on two lines ...
HEADING_LINES = 1.7  # ... of which it fills so many
SLACK_PT = 1e-6  # forgives the last digit of widths that were made to fill the room


@dataclass(frozen=True, slots=True)
class Cell:
    """`weight` tells what asks for attention: 2 beyond a limit, 1 near it, 0 neither. `pad` takes
    the room of decimals that other numbers of the column have."""

    text: str
    weight: int = 0
    pad: str = ""


@dataclass(frozen=True, slots=True)
class Laid:
    """A table, or a run of its columns, with its widths in points and the size of its text. A
    heading is the words and, on a line of its own, the unit."""

    headings: tuple[tuple[str, str], ...]
    rights: tuple[bool, ...]  # columns of numbers, set to the right
    widths_pt: tuple[float, ...]
    rows: tuple[tuple[Cell, ...], ...]
    size_pt: float

    @property
    def width_pt(self) -> float:
        return fsum(self.widths_pt)

    @property
    def lines(self) -> int:
        """About so many lines of text, one over another."""
        return sum(
            max(
                lines(cell.text, (width - PAD_PT) / self.size_pt)
                for cell, width in zip(row, self.widths_pt, strict=True)
            )
            for row in self.rows
        )


def weight(text: str) -> int:
    """How loudly a cell speaks, from the words that every document uses for it."""
    return {"bad": 2, "near": 1}.get(gravity(text) or "", 0)


def laid(table: Table, room_pt: float, largest_pt: float = SIZES_PT[0]) -> tuple[Laid, ...]:
    """The table in the largest text that lets it fit the room; in several runs if none does."""
    every = tuple(range(len(table.columns)))
    for size in (size for size in SIZES_PT if size <= largest_pt):
        widths = _widths(table, every, size, room_pt)
        if fsum(widths) <= room_pt + SLACK_PT:
            return (_laid(table, every, widths, size),)
    return tuple(_runs(table, room_pt))


def _runs(table: Table, room_pt: float) -> Sequence[Laid]:
    """Runs of columns, each led by the keys, as many to a run as fit."""
    size = SIZES_PT[2]
    keys = tuple(range(table.keys))
    runs: list[tuple[int, ...]] = [keys]
    for place in range(table.keys, len(table.columns)):
        tried = (*runs[-1], place)
        if len(tried) > table.keys + 1 and fsum(_least(table, tried, size)) > room_pt:
            runs.append((*keys, place))
        else:
            runs[-1] = tried
    share = -(-(len(table.columns) - table.keys) // len(runs))  # runs of about the same length
    even = [
        (*keys, *range(first, min(first + share, len(table.columns))))
        for first in range(table.keys, len(table.columns), share)
    ]
    if all(fsum(_least(table, run, size)) <= room_pt for run in even):
        runs = even
    return [_laid(table, run, _widths(table, run, size, room_pt), size) for run in runs]


def _laid(table: Table, places: Sequence[int], widths: Sequence[float], size: float) -> Laid:
    columns = [table.columns[place] for place in places]
    cells = [_column_cells(table, place) for place in places]
    return Laid(
        headings=tuple((breakable(c.heading, c.width), _unit(c)) for c in columns),
        rights=tuple(column.numeric for column in columns),
        widths_pt=tuple(math.floor(10 * width) / 10 for width in widths),
        rows=tuple(zip(*cells, strict=True)),
        size_pt=size,
    )


def _unit(column: Column) -> str:
    return f"({clean(column.unit)})" if column.unit else ""


def _column_cells(table: Table, place: int) -> list[Cell]:
    room = table.columns[place].width
    pairs = zip(table.texts(place), table.pads(place), strict=True)
    return [Cell(breakable(text, room), weight(text), pad) for text, pad in pairs]


def _widths(table: Table, places: Sequence[int], size: float, room_pt: float) -> tuple[float, ...]:
    """What columns want, or, where that is too much, what they can do with and a share of the
    rest; texts that want more than their usual width get it where there is room."""
    least = _least(table, places, size)
    usual = [max(w, PAD_PT + size * _usual(table, p)) for w, p in zip(least, places, strict=True)]
    full = [max(w, PAD_PT + size * _full(table, p)) for w, p in zip(usual, places, strict=True)]
    for lower, upper in ((usual, full), (least, usual)):
        if fsum(upper) <= room_pt:
            return tuple(upper)
        if fsum(lower) <= room_pt:
            part = (room_pt - fsum(lower)) / (fsum(upper) - fsum(lower))
            return tuple(low + part * (high - low) for low, high in zip(lower, upper, strict=True))
    return tuple(least)


def _least(table: Table, places: Sequence[int], size: float) -> list[float]:
    """The longest word of each column; a number is one word, and a text has some room to wrap."""
    return [PAD_PT + size * _longest_word(table, place) for place in places]


def _longest_word(table: Table, place: int) -> float:
    column = table.columns[place]
    heading = re.split(rf"[ {BREAK}]", breakable(column.heading, column.width))
    words = [BOLD * ems(part) for part in (*heading, _unit(column))]
    for text, pad in zip(table.texts(place), table.pads(place), strict=True):
        heavy = BOLD if weight(text) else 1.0
        whole = breakable(text, column.width)
        parts = [text + pad] if column.numeric else re.split(rf"[ {BREAK}]", whole)
        words += [heavy * ems(part) for part in parts]
    longest = max(words, default=0.0)
    return longest if column.numeric else max(longest, min(8.0, _usual(table, place)))


def _usual(table: Table, place: int) -> float:
    return min(_full(table, place), 0.55 * table.columns[place].width)


def _full(table: Table, place: int) -> float:
    column = table.columns[place]
    long = column.numeric and len(column.heading) > SHORT_HEADING
    lines = HEADING_LINES if long else 1.0
    cells = zip(table.texts(place), table.pads(place), strict=True)
    return max([BOLD * ems(column.heading) / lines, *(ems(text + pad) for text, pad in cells)])


def lines(text: str, room_ems: float) -> int:
    """About so many lines a text takes in a room of so many times its size."""
    return max(1, math.ceil(BOLD * ems(text) / max(room_ems, 1.0)))


def breakable(text: str, room: int = 0) -> str:
    """The text on one line, with places to break in words that a column of `room` letters, or
    the usual one, can't hold."""
    words = shorten(text, MOST_LETTERS).split(" ")
    longest = max(room, LONGEST_WORD)
    return " ".join(w if len(w) <= longest else BREAK.join(_pieces(w)) for w in words)


def _pieces(word: str) -> list[str]:
    """A long word cut after its joints, and where it has none."""
    parts = re.findall(r".+?(?:[._/:,;=&-]+|$)", word)
    return [
        part[at : at + LONGEST_WORD] for part in parts for at in range(0, len(part), LONGEST_WORD)
    ]
