"""What a stream carries, beside its number on the drawing, wherever there is room for it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from hoggin.report.drawing.diagram import Box, Diagram, Placed, Point
from hoggin.report.drawing.lettering import CAPITAL, width_of
from hoggin.report.drawing.measures import LINE, connector_box, flag_box
from hoggin.report.drawing.model import Words

SIZE = 2.2
GAP = 0.7  # between a number and its rate
CLEAR = 0.5  # from everything else,
APART = 0.9  # and from the lines of other streams, so that its own is the nearest
_REACH = 20.0  # mm from the flag at most
_STEP = 1.0


def rate_boxes(diagram: Diagram, texts: Mapping[str, str]) -> Mapping[str, Box]:
    """The places of texts, by the numbers of the streams. One that has no free place near its flag
    is left out: the tables have it."""
    found: dict[str, Box] = {}
    taken = list(_taken(diagram))
    for route in diagram.routes:
        number = route.flag.number
        if number not in texts:
            continue
        width, height = width_of(texts[number], SIZE), CAPITAL * SIZE
        rooms = _rooms(flag_box(number, route.flag.centre), route.points, width, height)
        room = next((room for room in rooms if _free(room, number, taken)), None)
        if room is not None:
            taken.append(("", room))
            found[number] = room
    return found


def rate_words(text: str, room: Box) -> Words:
    """The text in its place."""
    return Words(text, (room.x, room.y + room.height), "number", SIZE)


def _free(room: Box, number: str, taken: Sequence[tuple[str, Box]]) -> bool:
    return not any(
        room.meets(box, CLEAR if owner in ("", number) else APART) for owner, box in taken
    )


def _taken(diagram: Diagram) -> Iterator[tuple[str, Box]]:
    """What is drawn; lines with the numbers of their streams."""
    for placed in diagram.placed:
        yield "", placed.box
        yield "", labelled(placed)
    for route in diagram.routes:
        yield "", flag_box(route.flag.number, route.flag.centre)
        yield from ((route.flag.number, _piece(a, b)) for a, b in pairwise(route.points))
    yield from (("", connector_box(connector)) for connector in diagram.connectors)


def labelled(placed: Placed) -> Box:
    """The room of a label, with the word below it that asks for attention."""
    box = placed.label.box
    return Box(box.x, box.y, box.width, box.height + (LINE if placed.attention else 0.0))


def _piece(a: Point, b: Point) -> Box:
    return Box(min(a[0], b[0]), min(a[1], b[1]), abs(a[0] - b[0]), abs(a[1] - b[1]))


def _rooms(flag: Box, path: tuple[Point, ...], width: float, height: float) -> Iterator[Box]:
    """Places beside the flag, then beside its line, the nearest first."""
    x, y = centre = (flag.x + flag.width / 2, flag.y + flag.height / 2)
    right, left = flag.x + flag.width + GAP, flag.x - GAP - width
    yield Box(right, y - height / 2, width, height)
    yield Box(left, y - height / 2, width, height)
    yield Box(x - width / 2, flag.y - GAP - height, width, height)
    yield Box(x - width / 2, flag.y + flag.height + GAP, width, height)
    places = [place for a, b in pairwise(path) for place in _along(a, b, centre)]
    for away, (px, py), level in sorted(places):
        if away > _REACH:
            return
        if level:
            yield Box(px - width / 2, py - GAP - height, width, height)
            yield Box(px - width / 2, py + GAP, width, height)
        else:
            yield Box(px + GAP, py - height / 2, width, height)
            yield Box(px - GAP - width, py - height / 2, width, height)


def _along(a: Point, b: Point, centre: Point) -> Iterator[tuple[float, Point, bool]]:
    """How far each point of a piece of a line is from the flag; whether the piece is level."""
    steps = max(1, round(math.dist(a, b) / _STEP))
    for step in range(steps + 1):
        share = step / steps
        point = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
        yield math.dist(point, centre), point, a[1] == b[1]
