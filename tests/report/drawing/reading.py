"""Reads a diagram as its reader would: what overlaps, which line runs through what, where lines
end. Everything is computed from the diagram's numbers and from the results that it shows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations, pairwise

from hoggin.report.drawing.diagram import Box, Diagram, Placed, Point, Route
from hoggin.report.drawing.measures import (
    BULGE,
    connector_box,
    flag_box,
    flag_cloud,
    flag_triangle,
    machine_cloud,
    machine_triangle,
)
from hoggin.report.drawing.symbols import Port, symbol

Piece = tuple[Point, Point]
TOUCH = 0.05  # mm by which a line may touch what it passes


def faults(diagram: Diagram, ends: dict[str, tuple[str, str]]) -> list[str]:
    """What is wrong with a diagram. `ends` gives the source and target of every stream."""
    return [
        *_overlaps(diagram),
        *_crooked(diagram),
        *_loose(diagram, ends),
        *_run_through(diagram),
        *_clouded(diagram, ends),
        *_astray(diagram),
        *_shared(diagram, ends),
        *_unmarked_crossings(diagram, ends),
        *_outside(diagram),
    ]


def _things(diagram: Diagram) -> list[tuple[str, Box]]:
    return [
        *((f"symbol {one.name}", one.box) for one in diagram.placed),
        *((f"label {one.name}", one.label.box) for one in diagram.placed),
        *(
            (f"flag {r.flag.number}", flag_box(r.flag.number, r.flag.centre))
            for r in diagram.routes
        ),
        *((f"connector {one.number}", connector_box(one)) for one in diagram.connectors),
        *((f"triangle {p.name}", machine_triangle(p)) for p in diagram.placed if p.revised),
        *(
            (f"triangle {r.flag.number}", flag_triangle(r.flag))
            for r in diagram.routes
            if r.flag.revised
        ),
    ]


def _clouds(diagram: Diagram) -> list[tuple[str, Box]]:
    """The clouds with their bulges, each under the last word of what is in it."""
    return [
        *((p.name, machine_cloud(p).grown(BULGE)) for p in diagram.placed if p.revised),
        *(
            (r.flag.number, flag_cloud(r.flag).grown(BULGE))
            for r in diagram.routes
            if r.flag.revised
        ),
    ]


def _clouded(diagram: Diagram, ends: dict[str, tuple[str, str]]) -> Iterator[str]:
    """Clouds that meet one another, something that is not in them, or a line of something else."""
    clouds = _clouds(diagram)
    for (one, box), (other, another) in combinations(clouds, 2):
        if box.meets(another, -TOUCH):
            yield f"the clouds of {one} and {other} overlap"
    for inside, box in clouds:
        for name, thing in _things(diagram):
            if name.partition(" ")[2] != inside and box.meets(thing, -TOUCH):
                yield f"the cloud of {inside} is over {name}"
        for route in diagram.routes:
            own = (route.flag.number, *ends[route.stream])
            if inside not in own and any(box.meets(_room(p), -TOUCH) for p in _pieces(route)):
                yield f"the line {route.flag.number} runs through the cloud of {inside}"


def _overlaps(diagram: Diagram) -> Iterator[str]:
    for (name, box), (other, another) in combinations(_things(diagram), 2):
        if box.meets(another, -TOUCH):
            yield f"{name} overlaps {other}"


def _crooked(diagram: Diagram) -> Iterator[str]:
    for route in diagram.routes:
        if len(route.points) < 2:
            yield f"{route.stream} has no line"
        for a, b in pairwise(route.points):
            if (a[0] == b[0]) == (a[1] == b[1]):
                yield f"{route.stream} runs from {a} to {b}"


def _ports(one: Placed) -> tuple[list[Port], list[Port]]:
    shape = symbol(one.symbol)
    return ([shape.inlet] if shape.inlet else []), list(shape.outlets)


def _at(one: Placed, port: Port, point: Point) -> bool:
    x, y = one.box.x + port.at[0], one.box.y + port.at[1]
    level = abs(point[1] - y) < 0.01
    if symbol(one.symbol).free and port.side == "foot":
        return level and one.box.x <= point[0] <= one.box.x + one.box.width
    return level and abs(point[0] - x) < 0.01


def _loose(diagram: Diagram, ends: dict[str, tuple[str, str]]) -> Iterator[str]:
    """Lines that do not start at an outlet of their source, or end at the inlet of their target."""
    placed = {one.name: one for one in diagram.placed}
    away = {(one.stream, one.leaves): one for one in diagram.connectors}
    for route in diagram.routes:
        source, target = ends[route.stream]
        if source in placed:
            outlets = _ports(placed[source])[1]
            if not any(_at(placed[source], port, route.points[0]) for port in outlets):
                yield f"{route.stream} does not leave an outlet of {source}"
        elif (route.stream, False) not in away or away[route.stream, False].at != route.points[0]:
            yield f"{route.stream} comes from nowhere"
        if target in placed:
            inlets = _ports(placed[target])[0]
            if not any(_at(placed[target], port, route.points[-1]) for port in inlets):
                yield f"{route.stream} does not reach the inlet of {target}"
        elif (route.stream, True) not in away or away[route.stream, True].at != route.points[-1]:
            yield f"{route.stream} goes nowhere"


def _pieces(route: Route) -> list[Piece]:
    return list(pairwise(route.points))


def _room(piece: Piece) -> Box:
    (ax, ay), (bx, by) = piece
    return Box(min(ax, bx), min(ay, by), abs(ax - bx), abs(ay - by))


def _run_through(diagram: Diagram) -> Iterator[str]:
    things = _things(diagram)
    for route in diagram.routes:
        own = (f"flag {route.flag.number}", f"triangle {route.flag.number}")  # it is broken there
        for piece in _pieces(route):
            for name, box in things:
                if name not in own and box.meets(_room(piece), -TOUCH):
                    yield f"the line {route.flag.number} runs through {name}"


def _astray(diagram: Diagram) -> Iterator[str]:
    for route in diagram.routes:
        spot = Box(*route.flag.centre, 0.0, 0.0)
        if not any(spot.meets(_room(piece), TOUCH) for piece in _pieces(route)):
            yield f"flag {route.flag.number} is not on its line"


def _shared(diagram: Diagram, ends: dict[str, tuple[str, str]]) -> Iterator[str]:
    """Lines on one another, though they neither go to the same machine nor leave one outlet: a
    stream of an earlier revision may, beside the one that has taken its place."""
    for first, second in combinations(diagram.routes, 2):
        if ends[first.stream][1] == ends[second.stream][1] or first.points[0] == second.points[0]:
            continue
        for a, b in ((a, b) for a in _pieces(first) for b in _pieces(second)):
            if _along(a, b):
                yield f"the lines {first.flag.number} and {second.flag.number} share a piece"


def _along(a: Piece, b: Piece) -> bool:
    for axis in (0, 1):
        level = {point[1 - axis] for point in (*a, *b)}
        low = max(min(p[axis] for p in piece) for piece in (a, b))
        high = min(max(p[axis] for p in piece) for piece in (a, b))
        if len(level) == 1 and high - low > TOUCH:
            return True
    return False


def _unmarked_crossings(diagram: Diagram, ends: dict[str, tuple[str, str]]) -> Iterator[str]:
    for first in diagram.routes:
        for second in diagram.routes:
            if first is second:
                continue
            for across, up in ((a, b) for a in _pieces(first) for b in _pieces(second)):
                point = _crossing(across, up)
                if point and point not in first.hops and not _joined(first, second, ends):
                    yield f"the line {first.flag.number} crosses {second.flag.number} unmarked"


def _joined(first: Route, second: Route, ends: dict[str, tuple[str, str]]) -> bool:
    return ends[first.stream][1] == ends[second.stream][1]


def _crossing(across: Piece, up: Piece) -> Point | None:
    (ax, ay), (bx, by) = across
    (cx, cy), (dx, dy) = up
    if ay != by or cx != dx:
        return None
    inside = min(ax, bx) < cx < max(ax, bx) and min(cy, dy) < ay < max(cy, dy)
    return (cx, ay) if inside else None


def _outside(diagram: Diagram) -> Iterator[str]:
    whole = Box(0.0, 0.0, diagram.width, diagram.height)
    corners: Sequence[tuple[str, Box]] = [
        *_things(diagram),
        *((r.flag.number, _room(piece)) for r in diagram.routes for piece in _pieces(r)),
    ]
    for name, box in corners:
        if (
            box.x < whole.x - TOUCH
            or box.y < whole.y - TOUCH
            or box.x + box.width > whole.width + TOUCH
            or box.y + box.height > whole.height + TOUCH
        ):
            yield f"{name} is outside the diagram"
