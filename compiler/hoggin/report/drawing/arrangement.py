"""Where the parts of a sheet go: the diagram, its tables, the legend and the title block.

The title block is in the right bottom corner, with the revision table on it. Tables go down a
column above it, or along the foot of the sheet, where a stream is a column; whichever lets them fit
in the largest type. A table that does not fit is left for a sheet of its own.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import product

from hoggin.report.drawing import ruled
from hoggin.report.drawing.block import Block
from hoggin.report.drawing.diagram import Box, Point
from hoggin.report.tables import Table

GAP = 4.0  # between the parts
SIZES = (2.5, 2.2, 2.0, 1.8)  # of the type in tables, tried from the largest
SCALES = (1.4, 1.3, 1.2, 1.1, 1.0)  # of a diagram, tried from the largest
REDUCED = (0.96, 0.92)  # where its tables have no room else; its text is still 2.2 mm or more
Placing = tuple[tuple[Block, Point], ...]


@dataclass(frozen=True, slots=True)
class Listed:
    """A table with the keys of its things."""

    table: Table
    of: tuple[str, ...]
    note: str

    @property
    def rows(self) -> int:
        return len(self.table.rows)

    def part(self, first: int, last: int, *, title: str = "") -> Listed:
        """Some of its rows."""
        title = title or self.table.title
        table = replace(self.table, title=title, rows=self.table.rows[first:last])
        return Listed(table, self.of[first:last], self.note)

    def down(self, room: float, size: float) -> Block | None:
        return ruled.down(self.table, self.of, room, size, self.note)

    def across(self, room: float, size: float) -> Block | None:
        return ruled.across(self.table, self.of, room, size, self.note)


@dataclass(frozen=True, slots=True)
class Parts:
    """What goes on a sheet. `corner` is the size of the title block and of what stands on it."""

    figure: Block
    corner: tuple[float, float]
    legend: Callable[[float], Block]  # for a width
    wide: Listed  # may go along the foot
    narrow: Listed


@dataclass(frozen=True, slots=True)
class Furnished:
    """All parts but the diagram at their places, and the room that is left for it."""

    room: Box
    placing: Placing


@dataclass(frozen=True, slots=True)
class Arranged:
    """Blocks at their places, and the tables that did not fit."""

    placing: Placing
    left_out: tuple[Listed, ...]


def arranged(parts: Parts, space: Box, *, reduced: bool = False) -> Arranged | None:
    """The parts in the space of a sheet; None where the diagram does not fit. One that may be
    reduced has half of the sheet's height, and fits."""
    tables = tuple(one for one in (parts.wide, parts.narrow) if one.rows)
    for kept in (tables, tables[:1], tables[1:], ()):
        left_out = tuple(one for one in tables if one not in kept)
        for scales in (SCALES, REDUCED):
            for size, way in product(SIZES if kept else SIZES[:1], (_foot, _column)):
                found = way(parts, kept, space, size)
                if found is None:
                    continue
                fits = _fits(parts, found.room)
                scale = next((one for one in scales if one <= fits), None)
                if reduced and found.room.height >= space.height / 2:
                    scale = scale or math.floor(1000 * fits) / 1000
                if scale is not None:
                    return Arranged(_with_figure(parts, found, scale), left_out)
    return None


def _fits(parts: Parts, room: Box) -> float:
    """The scale at which the diagram fills a room."""
    return min(room.width / parts.figure.width, room.height / parts.figure.height)


def _with_figure(parts: Parts, found: Furnished, scale: float) -> Placing:
    """With the diagram in the middle of its room."""
    figure, room = parts.figure.scaled(scale), found.room
    x = room.x + (room.width - figure.width) / 2
    y = room.y + (room.height - figure.height) / 2
    return ((figure, (x, y)), *found.placing)


def _column(parts: Parts, kept: Sequence[Listed], space: Box, size: float) -> Furnished | None:
    """The diagram at the left, everything else above the title block."""
    placing: list[tuple[Block, Point]] = []
    width, height = parts.corner[0] - GAP, parts.corner[1]
    x = space.x + space.width - parts.corner[0]
    blocks = [parts.legend(width), *(one.down(width, size) for one in reversed(kept))]
    y = space.y + space.height - height
    for block in blocks:
        if block is None:
            return None
        y -= GAP + block.height
        placing.append((block, (x, y)))
    if y < space.y + GAP:
        return None
    room = Box(space.x + GAP, space.y + GAP, x - space.x - 2 * GAP, space.height - 2 * GAP)
    return Furnished(room, tuple(placing))


def _foot(parts: Parts, kept: Sequence[Listed], space: Box, size: float) -> Furnished | None:
    """The diagram above, the streams across under it, the rest beside the title block."""
    placing: list[tuple[Block, Point]] = []
    left, right = space.x + GAP, space.x + space.width - parts.corner[0] - GAP
    foot = space.y + space.height - GAP
    blocks = [parts.legend(right - left)]
    if parts.narrow in kept:
        beside = parts.narrow.down(right - left, size)
        if beside is None:
            return None
        blocks.append(beside)
    y = foot
    for block in blocks:
        y -= block.height
        placing.append((block, (left, y)))
        y -= GAP
    y = min(y, space.y + space.height - parts.corner[1] - GAP)
    if parts.wide in kept:
        table = parts.wide.across(space.width - 2 * GAP, size)
        if table is None:
            return None
        y -= table.height
        placing.append((table, (left, y)))
        y -= GAP
    room = Box(left, space.y + GAP, space.width - 2 * GAP, y - space.y - GAP)
    return Furnished(room, tuple(placing))
