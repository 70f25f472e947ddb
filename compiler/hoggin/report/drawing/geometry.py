"""What every backend draws in the same way: arrow heads, and the lengths of dashes."""

from __future__ import annotations

import math
from collections.abc import Mapping

from hoggin.report.drawing.diagram import Point
from hoggin.report.drawing.model import Arc, Circle, Dash, Stroke

CORNERS = 36  # of a circle as a run of points
HEAD, HALF_HEAD = 2.8, 0.7  # length of an arrow head, and half its width
DASHES: Mapping[Dash, tuple[float, ...]] = {
    "solid": (),
    "dashed": (3.0, 1.5),
    "dotted": (0.7, 1.1),
    "chain": (5.0, 1.2, 0.8, 1.2),
}  # lengths of line and gap, in mm


def with_head(stroke: Stroke) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    """The points of a line as it is drawn, and its arrow head: the line ends inside the head, so
    that it does not blunt its point."""
    if not stroke.arrow:
        return stroke.points, ()
    before, tip = _last_piece(stroke.points)
    length = math.dist(before, tip)
    if length == 0.0:
        return stroke.points, ()
    u = ((tip[0] - before[0]) / length, (tip[1] - before[1]) / length)
    base = (tip[0] - HEAD * u[0], tip[1] - HEAD * u[1])
    head = (
        tip,
        (base[0] - HALF_HEAD * u[1], base[1] + HALF_HEAD * u[0]),
        (base[0] + HALF_HEAD * u[1], base[1] - HALF_HEAD * u[0]),
    )
    return ((*stroke.points[:-1], base) if length > HEAD else stroke.points), head


def _last_piece(points: tuple[Point, ...]) -> tuple[Point, Point]:
    """The last two points that differ."""
    tip = points[-1]
    return next((p for p in reversed(points[:-1]) if p != tip), tip), tip


def on_circle(centre: Point, radius: float, degrees: float) -> Point:
    """A point of a circle, by its angle clockwise from the right as seen on the sheet."""
    turn = math.radians(degrees)
    return (centre[0] + radius * math.cos(turn), centre[1] + radius * math.sin(turn))


def points_of(shape: Stroke | Circle | Arc) -> tuple[Point, ...]:
    """The points of a line; those of a circle or an arc near enough for the eye."""
    if isinstance(shape, Stroke):
        return shape.points
    start, end = (shape.start, shape.end) if isinstance(shape, Arc) else (0.0, 360.0)
    count = max(1, round(CORNERS * (end - start) / 360.0))
    turns = (start + (end - start) * n / count for n in range(count + 1))
    return tuple(on_circle(shape.centre, shape.radius, turn) for turn in turns)
