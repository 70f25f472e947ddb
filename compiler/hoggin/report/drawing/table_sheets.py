"""Sheets of tables alone: what had no room beside its diagram, down two columns of a sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from hoggin.errors import HogginError
from hoggin.report.drawing.arrangement import GAP, SIZES, Listed, Placing
from hoggin.report.drawing.block import HEADING_ROOM, Block
from hoggin.report.drawing.diagram import Box, Point
from hoggin.report.drawing.ruled import PITCH

LEAST_ROWS = 3  # of a table at the foot of a column
HEAD_LINES = 2


def table_sheets(
    left_out: Sequence[Listed], space: Box, corner: tuple[float, float]
) -> Iterator[Placing]:
    """The tables at their places, sheet by sheet; tables of one title are one.

    Raises: HogginError where a table is wider than a column of the sheet.
    """
    columns = _columns(space, corner)
    room = min(column.width for column in columns)
    placing: list[tuple[Block, Point]] = []
    at, y = 0, columns[0].y
    for listed in _joined(left_out):
        size = _size(listed, room)
        first = 0
        while first < listed.rows:
            column = columns[at]
            lines = int((column.y + column.height - y - HEADING_ROOM) / (PITCH * size))
            last = min(listed.rows, first + lines - HEAD_LINES)
            if last - first < min(LEAST_ROWS, listed.rows - first):
                at = (at + 1) % len(columns)
                y = columns[at].y
                if at == 0:
                    yield tuple(placing)
                    placing = []
                continue
            title = f"{listed.table.title}, continued" if first else ""
            block = listed.part(first, last, title=title).down(column.width, size)
            if block is not None:
                placing.append((block, (column.x, y)))
                y += block.height + GAP
            first = last
    if placing:
        yield tuple(placing)


def _columns(space: Box, corner: tuple[float, float]) -> tuple[Box, ...]:
    """The column beside the title block, where the sheet is wide enough, and the one above it."""
    width, height = corner
    left = Box(space.x + GAP, space.y + GAP, space.width - width - 2 * GAP, space.height - 2 * GAP)
    above = Box(
        space.x + space.width - width, space.y + GAP, width - GAP, space.height - height - 2 * GAP
    )
    return (left, above) if left.width >= above.width else (above,)


def _size(listed: Listed, room: float) -> float:
    """The largest type in which the table fits."""
    for size in SIZES:
        if listed.down(room, size) is not None:
            return size
    raise HogginError(f"the table {listed.table.title!r} is too wide for a sheet of the drawing")


def _joined(left_out: Sequence[Listed]) -> Iterator[Listed]:
    """The tables of each title as one, without rows that are in two of them."""
    for title in dict.fromkeys(listed.table.title for listed in left_out):
        same = [listed for listed in left_out if listed.table.title == title]
        rows = {
            (key, row): None
            for listed in same
            for key, row in zip(listed.of, listed.table.rows, strict=True)
        }
        table = replace(same[0].table, rows=tuple(row for _, row in rows))
        yield Listed(table, tuple(key for key, _ in rows), same[0].note)
