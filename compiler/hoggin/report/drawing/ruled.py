"""A table as lines and words of a sheet: things down the page, or across it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import fsum

from hoggin.report.drawing.block import HEADING_ROOM, LINE, PAD, THIN, Block, heading, outline, rule
from hoggin.report.drawing.diagram import Box
from hoggin.report.drawing.lettering import fitted, width_of, wrapped
from hoggin.report.drawing.model import Item, Words
from hoggin.report.tables import Column, Table, Value

PITCH = 1.45  # from line to line, in sizes of the type
BASE = 1.05  # from the top of a line to its base line
SHORT = 12  # letters of a column that takes none of the spare room
LEAST_TEXT = 14.0  # letters that a column of words keeps, where the room is short
MOST_LINES = 3  # of a cell of words in a table that goes across
CELL = 12.0  # least letters across of such a cell, with one more where there is room


def down(table: Table, of: Sequence[str], room: float, size: float, note: str = "") -> Block | None:
    """A row for each thing, at the full width of the room; None where the room is too narrow.

    `of` are the keys of the things.
    """
    widths = _widths(table, room, size)
    if widths is None:
        return None
    pitch = PITCH * size
    head = 2 * pitch if any(column.unit for column in table.columns) else pitch
    items: list[Item] = list(heading(table.title, room, note))
    top = HEADING_ROOM + head
    x = 0.0
    foot = top + pitch * len(table.rows)
    for place, (column, width) in enumerate(zip(table.columns, widths, strict=True)):
        cells = [column.text(row[place]) for row in table.rows]
        items += _heading(column, x, width, size)
        items += _cells(column, cells, of, (x, top, width), size)
        if place:
            items.append(rule((x, HEADING_ROOM), (x, foot)))
        x += width
    items += [rule((0, top), (x, top), LINE)]
    items += [rule((0, top + pitch * n), (x, top + pitch * n)) for n in range(1, len(table.rows))]
    items.append(outline(Box(0, HEADING_ROOM, x, foot - HEADING_ROOM), LINE))
    return Block(table.title, x, foot, tuple(items))


def _heading(column: Column, x: float, width: float, size: float) -> Iterator[Words]:
    room = width - 2 * PAD
    at, anchor = (x + width - PAD, "end") if column.numeric else (x + PAD, "start")
    for line, text in enumerate((column.heading, column.unit)):
        shown = fitted(text, room, size, bold=not line)
        y = HEADING_ROOM + size * (BASE + PITCH * line)
        if shown:
            yield Words(shown, (at, y), "table", size, "end" if anchor == "end" else "start",
                        bold=not line)  # fmt: skip


def _cells(
    column: Column,
    cells: Sequence[str],
    of: Sequence[str],
    place: tuple[float, float, float],
    size: float,
) -> Iterator[Words]:
    """The cells of a column; numbers with their points under each other."""
    x, top, width = place
    tails = [width_of(_tail(cell), size) for cell in cells]
    point = x + width - PAD - max(tails, default=0.0)
    for row, (cell, key, tail) in enumerate(zip(cells, of, tails, strict=True)):
        y = top + size * (PITCH * row + BASE)
        if column.numeric:
            yield Words(cell, (point + tail, y), "table", size, "end", of=key)
        else:
            loud = cell.startswith(("OVER", "WATCH", "VOID", "below"))
            shown = fitted(cell, width - 2 * PAD, size, bold=loud)
            yield Words(shown, (x + PAD, y), "table", size, bold=loud, of=key)


def _tail(cell: str) -> str:
    """A number from its point on."""
    _, point, decimals = cell.partition(".")
    return point + decimals


def _widths(table: Table, room: float, size: float) -> list[float] | None:
    """The widths of the columns, which fill the room; words give way where it is short."""
    full: list[float] = []
    least: list[float] = []
    for place, column in enumerate(table.columns):
        cells = [column.text(row[place]) for row in table.rows]
        head = max(width_of(column.heading, size, bold=True), width_of(column.unit, size))
        if column.numeric:
            tail = max((width_of(_tail(cell), size) for cell in cells), default=0.0)
            whole = max((width_of(c, size) - width_of(_tail(c), size) for c in cells), default=0.0)
            full.append(max(head, whole + tail) + 2 * PAD)
            least.append(full[-1])
        else:
            words = max((width_of(cell, size, bold=True) for cell in cells), default=0.0)
            full.append(max(head, words) + 2 * PAD)
            least.append(min(full[-1], max(head, LEAST_TEXT * 0.5 * size) + 2 * PAD))
    if fsum(least) > room:
        return None
    spare = room - fsum(full)
    if spare >= 0:  # words have what is left
        texts = [
            0.0 if column.numeric or column.width < SHORT else w
            for w, column in zip(full, table.columns, strict=True)
        ]
        share = spare / max(1.0, fsum(texts))
        return [w + share * text for w, text in zip(full, texts, strict=True)]
    part = (room - fsum(least)) / (fsum(full) - fsum(least))
    return [a + part * (b - a) for a, b in zip(least, full, strict=True)]


def across(
    table: Table, of: Sequence[str], room: float, size: float, note: str = ""
) -> Block | None:
    """A column for each thing, in as many bands as the room asks for; a row for each fact."""
    if not table.rows:
        return None
    labels = [(column.heading, column.unit) for column in table.columns]
    first = 2 * PAD + 0.8 + max(
        width_of(f"{name} ", size, bold=True) + width_of(unit, size) for name, unit in labels
    )  # fmt: skip
    numbers = [
        width_of(column.text(row[place]), size)
        for row in table.rows
        for place, column in enumerate(table.columns)
        if column.numeric
    ]
    least = max(0.5 * CELL * size, max(numbers, default=0.0)) + 2 * PAD
    fit = int((room - first) // least)
    if fit < 1:
        return None
    bands = -(-len(table.rows) // fit)
    each = -(-len(table.rows) // bands)
    width = min((room - first) / each, 1.7 * least)
    items: list[Item] = list(heading(table.title, room, note))
    y = HEADING_ROOM
    for start in range(0, len(table.rows), each):
        rows, keys = table.rows[start : start + each], of[start : start + each]
        y += _band(table.columns, rows, keys, (first, width, y, size), items) + 2.0
    return Block(table.title, first + each * width, y - 2.0, tuple(items))


def _band(
    columns: Sequence[Column],
    rows: Sequence[Sequence[Value]],
    of: Sequence[str],
    place: tuple[float, float, float, float],
    items: list[Item],
) -> float:
    """Things side by side, from `y` down. Gives the height."""
    first, width, top, size = place
    right, y = first + width * len(rows), top
    for n, column in enumerate(columns):
        cells = [column.text(row[n]) for row in rows]
        most = 1 if column.numeric or n == 0 else MOST_LINES
        laid = [wrapped(cell, width - 2 * PAD, size, most) or ("",) for cell in cells]
        base = y + BASE * size
        items.append(Words(column.heading, (PAD, base), "table", size, bold=True))
        items.append(Words(column.unit, (first - PAD, base), "table", size, "end"))
        tails = [width_of(_tail(cell), size) for cell in cells]
        widest = max((width_of(cell, size) for cell in cells), default=0.0)
        for k, (lines, key) in enumerate(zip(laid, of, strict=True)):
            middle = first + width * (k + 0.5)
            if column.numeric and n:
                at = middle + widest / 2 - max(tails) + tails[k]
                items.append(Words(lines[0], (at, base), "table", size, "end", of=key))
                continue
            items.extend(
                Words(line, (middle, base + PITCH * size * m), "table", size, "middle",
                      bold=n == 0, of=key)
                for m, line in enumerate(lines)
            )  # fmt: skip
        y += PITCH * size * max(map(len, laid))
        items.append(rule((0, y), (right, y), LINE if n == 0 else THIN))
    items.pop()  # the edge is drawn below
    xs = [first + width * k for k in range(len(rows))]
    items.extend(rule((x, top), (x, y)) for x in xs)
    items.append(outline(Box(0, top, right, y - top), LINE))
    return y - top
