"""What a stream carries, beside its number on the drawing, wherever there is room for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

from hoggin.report.drawing.diagram import Box, Diagram, Placed, Point
from hoggin.report.drawing.lettering import CAPITAL, width_of
from hoggin.report.drawing.measures import LINE, connector_box, flag_box
from hoggin.report.drawing.model import Words

SIZE = 2.2
GAP = 0.7  # between a number and its rate
CLEAR = 0.3  # from everything else
_REACH = 9.0  # mm from the flag at most, along its line
_STEP = 1.0


def rates(diagram: Diagram, texts: Mapping[str, str]) -> Iterator[tuple[str, Words]]:
    """The texts of streams by their numbers, each with its place. One that has no free place near
    its flag is left out: the tables have it."""
    taken = list(_taken(diagram))
    for route in diagram.routes:
        number = route.flag.number
        if number not in texts:
            continue
        width, height = width_of(texts[number], SIZE), CAPITAL * SIZE
        rooms = _rooms(flag_box(number, route.flag.centre), route.points, width, height)
        room = next((r for r in rooms if not any(r.meets(t, CLEAR) for t in taken)), None)
        if room is None:
            continue
        taken.append(room)
        at = (room.x, room.y + height)
        yield number, Words(texts[number], at, "number", SIZE)


def _taken(diagram: Diagram) -> Iterator[Box]:
    for placed in diagram.placed:
        yield placed.box
        yield labelled(placed)
    for route in diagram.routes:
        yield flag_box(route.flag.number, route.flag.centre)
        yield from (_piece(a, b) for a, b in pairwise(route.points))
    yield from map(connector_box, diagram.connectors)


def labelled(placed: Placed) -> Box:
    """The room of a label, with the word below it that asks for attention."""
    box = placed.label.box
    return Box(box.x, box.y, box.width, box.height + (LINE if placed.attention else 0.0))


def _piece(a: Point, b: Point) -> Box:
    return Box(min(a[0], b[0]), min(a[1], b[1]), abs(a[0] - b[0]), abs(a[1] - b[1]))


def _rooms(flag: Box, path: tuple[Point, ...], width: float, height: float) -> Iterator[Box]:
    """Places beside the flag, then beside its line, the nearest first."""
    x, y = flag.x + flag.width / 2, flag.y + flag.height / 2
    right, left = flag.x + flag.width + GAP, flag.x - GAP - width
    yield Box(right, y - height / 2, width, height)
    yield Box(left, y - height / 2, width, height)
    yield Box(x - width / 2, flag.y - GAP - height, width, height)
    yield Box(x - width / 2, flag.y + flag.height + GAP, width, height)
    for step in range(int(_REACH / _STEP)):
        for along in (step * _STEP, -step * _STEP):
            if _on_level(path, x, y):
                left_edge = x + along - width / 2
                yield Box(left_edge, y - GAP - height, width, height)
                yield Box(left_edge, y + GAP, width, height)
            else:
                top = y + along - height / 2
                yield Box(x + GAP, top, width, height)
                yield Box(x - GAP - width, top, width, height)


def _on_level(path: tuple[Point, ...], x: float, y: float) -> bool:
    """Whether the piece of the line that a point is on is level."""
    return any(
        a[1] == b[1] and abs(a[1] - y) < 1e-6 and min(a[0], b[0]) <= x <= max(a[0], b[0])
        for a, b in pairwise(path)
    )
