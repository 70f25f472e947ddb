"""A diagram as items of a sheet: machines, lines with arrow heads and hops, flags, connectors."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from hoggin.report.drawing.block import LINE, OUTLINE, Block, moved
from hoggin.report.drawing.cloud import cloud, crossed, struck, triangle
from hoggin.report.drawing.diagram import Connector, Diagram, Flag, Label, Placed, Point, Route
from hoggin.report.drawing.geometry import points_of
from hoggin.report.drawing.lettering import CAPITAL, fitted
from hoggin.report.drawing.measures import (
    CONNECTOR_ENDS,
    FLAG_TEXT,
    TEXT,
    connector_box,
    connector_lines,
    flag_box,
    flag_cloud,
    flag_size,
    flag_triangle,
    machine_cloud,
    machine_triangle,
)
from hoggin.report.drawing.measures import LINE as LEADING
from hoggin.report.drawing.model import Arc, Circle, Dash, Fill, Item, Layer, Stroke, Use, Words
from hoggin.report.drawing.symbols import symbol

SMALL = 2.4  # size of the type of a label's further lines
LONG_FLAG, FLAG_POINT = 5.6, 1.4  # width from which a flag is a plate, and its points
HOP = 1.1  # radius of a hop over a line
BEHIND = 1.2  # what a second of equal machines shows of itself, behind the first
HEAVY = 1.0  # width of the outline that asks for attention
SAID = {"watch": "WATCH", "over": "OVER LIMIT", "void": "VOID"}


def figure(diagram: Diagram) -> Block:
    """The diagram as a part of a sheet."""
    items: list[Item] = [_behind(placed) for placed in diagram.placed if placed.several]
    for route in diagram.routes:
        items += _line(route)
    for placed in diagram.placed:
        items += _machine(placed, diagram.mark)
    for route in diagram.routes:
        items += flag(route.flag, key_of(route.flag), diagram.mark)
    for connector in diagram.connectors:
        items += _connector(connector)
    return Block("diagram", diagram.width, diagram.height, tuple(items))


# --- lines


def style_of(route: Route) -> tuple[Layer, float, Dash]:
    """Layer, width and dash of a stream's line."""
    if route.flag.revised == "removed":
        return "stream", LINE, "dotted"
    if route.kind == "water":
        return "water", LINE, "chain"
    if route.returns:
        return "return", LINE, "dashed"
    return "stream", OUTLINE if route.kind == "slurry" else LINE, "solid"


def _line(route: Route) -> Iterator[Item]:
    """The line in pieces between its flag and its hops; the last has the arrow head."""
    layer, width, dash = style_of(route)
    of = key_of(route.flag)
    run: list[Point] = [route.points[0]]
    for a, b in pairwise(route.points):
        for at, half, hop in _breaks(route, a, b):
            unit = _unit(a, b)
            run.append((at[0] - half * unit[0], at[1] - half * unit[1]))
            yield Stroke(tuple(run), layer, width, dash, of=of)
            run = [(at[0] + half * unit[0], at[1] + half * unit[1])]
            if hop:
                start = 180.0 if a[1] == b[1] else 270.0  # over it, or to its right
                yield Arc(at, HOP, start, start + 180.0, layer, width, of=of)
        run.append(b)
    yield Stroke(tuple(run), layer, width, dash, arrow=True, of=of)


def _breaks(route: Route, a: Point, b: Point) -> list[tuple[Point, float, bool]]:
    """Where a piece of the line is broken, from `a` on: the place, half the gap, is it a hop."""
    level = a[1] == b[1]
    flag = route.flag
    plate = flag_box(flag.number, flag.centre)
    if flag.revised and level:
        plate = plate.around(flag_triangle(flag))
    half = plate.width / 2 if level else plate.height / 2
    middle = (plate.x + half, flag.centre[1]) if level else flag.centre
    found = [(middle, half, False)] if _between(a, flag.centre, b) else []
    found += [(hop, HOP, True) for hop in route.hops if _between(a, hop, b)]
    return sorted(found, key=lambda one: math.dist(a, one[0]))


def _between(a: Point, point: Point, b: Point) -> bool:
    return math.isclose(math.dist(a, point) + math.dist(point, b), math.dist(a, b), abs_tol=1e-6)


def _unit(a: Point, b: Point) -> Point:
    length = math.dist(a, b) or 1.0
    return ((b[0] - a[0]) / length, (b[1] - a[1]) / length)


def key_of(flag: Flag) -> str:
    return f"stream {flag.number}"


def numbers_of(flag: Flag) -> tuple[str, ...]:
    """The streams of a flag. The line between two parts of a plant may stand for several, of which
    the flag names the first."""
    shown, _, _ = flag.number.partition(" + ")
    return tuple(shown.split(", "))


def flag(flag: Flag, of: str, mark: str = "") -> Iterator[Item]:
    """The number of a stream in a diamond, or in a longer plate with the same points; one that is
    revised, in a cloud with the revision's mark."""
    (x, y), (width, height) = flag.centre, flag_size(flag.number)
    left, right, top, foot = x - width / 2, x + width / 2, y - height / 2, y + height / 2
    point = width / 2 if width < LONG_FLAG else FLAG_POINT
    edge = (
        (left, y), (left + point, top), (right - point, top),
        (right, y), (right - point, foot), (left + point, foot),
    )  # fmt: skip
    yield Stroke(edge, "number", LINE, closed=True, fill="paper", of=of)
    at = (x, y + CAPITAL * FLAG_TEXT / 2)
    yield Words(flag.number, at, "number", FLAG_TEXT, "middle", of=of)
    if flag.revised:
        yield from cloud(flag_cloud(flag), of)
        yield from triangle(flag_triangle(flag), mark, of)
    if flag.revised == "removed":
        yield struck(flag_box(flag.number, flag.centre), of)


# --- machines


def _machine(placed: Placed, mark: str) -> Iterator[Item]:
    of = f"machine {placed.name}"
    if placed.revised == "removed":
        yield from _dotted(placed, of)
        yield from crossed(placed.box, of)
    else:
        yield Use(placed.symbol, (placed.box.x, placed.box.y), of)
    if placed.revised:
        yield from cloud(machine_cloud(placed), of)
        yield from triangle(machine_triangle(placed), mark, of)
    yield from _label(placed.label, of)
    if placed.attention:
        yield from _heavy(placed, of)
        yield _line_of(placed.label, len(placed.label.lines), SAID[placed.attention], of)


def _behind(placed: Placed) -> Use:
    """The second of equal machines, behind the lines that reach the first."""
    at = (placed.box.x + BEHIND, placed.box.y - BEHIND)
    return Use(placed.symbol, at, f"machine {placed.name}")


def _dotted(placed: Placed, of: str) -> Iterator[Item]:
    """The symbol of what is removed."""
    for shape in symbol(placed.symbol).shapes:
        if isinstance(shape, Words):
            yield moved(replace(shape, of=of), (placed.box.x, placed.box.y))
            continue
        closed = shape.closed if isinstance(shape, Stroke) else isinstance(shape, Circle)
        fill: Fill = "none" if isinstance(shape, Arc) or shape.fill == "none" else "paper"
        edge = Stroke(
            points_of(shape), "machine", shape.width, "dotted", closed=closed, fill=fill, of=of
        )
        yield moved(edge, (placed.box.x, placed.box.y))


def _heavy(placed: Placed, of: str) -> Iterator[Item]:
    """The outlines of the symbol again, heavy; dotted where its numbers are void."""
    dash: Dash = "dotted" if placed.attention == "void" else "solid"
    for shape in symbol(placed.symbol).shapes:
        if isinstance(shape, Words) or shape.width < OUTLINE:
            continue
        closed = shape.closed if isinstance(shape, Stroke) else isinstance(shape, Circle)
        edge = Stroke(points_of(shape), "attention", HEAVY, dash, closed=closed, of=of)
        yield moved(edge, (placed.box.x, placed.box.y))


def _label(label: Label, of: str) -> Iterator[Words]:
    for n, line in enumerate(label.lines):
        yield _line_of(label, n, line, of)


def _line_of(label: Label, n: int, line: str, of: str) -> Words:
    """The text of a label's line; the one after its last says what asks for attention."""
    box, loud = label.box, n == len(label.lines)
    differs = not loud and n >= len(label.lines) - label.revised
    at = {"start": box.x, "middle": box.x + box.width / 2, "end": box.x + box.width}[label.anchor]
    size = SMALL if n else TEXT
    shown = line if loud else fitted(line, box.width + 0.5, size, bold=n == 0)
    y = box.y + (LEADING + CAPITAL * TEXT) / 2 + LEADING * n
    layer: Layer = "attention" if loud else "revision" if differs else "tag"
    return Words(shown, (at, y), layer, size, label.anchor, bold=loud or n == 0, of=of)


# --- connectors


def _connector(connector: Connector) -> Iterator[Item]:
    """A plate that points on: below a line that leaves the sheet, above one that comes to it."""
    of = f"stream {connector.number}"
    box = connector_box(connector)
    lines = connector_lines(connector.leaves, connector.number, connector.sheet, connector.words)
    right, middle, foot = box.x + box.width, box.y + box.height / 2, box.y + box.height
    side = right - CONNECTOR_ENDS / 2
    plate = ((box.x, box.y), (side, box.y), (right, middle), (side, foot), (box.x, foot))
    yield Stroke(plate, "connector", LINE, closed=True, of=of)
    for n, line in enumerate(lines):
        y = middle + (n - 0.5) * LEADING + CAPITAL * TEXT / 2
        at = (box.x + 1.2, y)
        shown = fitted(line, side - box.x - 1.2, TEXT, bold=n == 0)
        yield Words(shown, at, "connector", TEXT, bold=n == 0, of=of)
