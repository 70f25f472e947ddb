"""Marks of a revision: clouds around what was changed, triangles with the revision's mark, and what
is struck out. Common practice on engineering drawings, no source."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from hoggin.report.drawing.block import LINE, OUTLINE, corners
from hoggin.report.drawing.diagram import Box, Point
from hoggin.report.drawing.lettering import CAPITAL, width_of
from hoggin.report.drawing.measures import BULGE
from hoggin.report.drawing.model import Arc, Item, Stroke, Words

HALF_TURN = 60.0  # degrees of an arc on each side of its middle
RADIUS = BULGE / (1.0 - math.cos(math.radians(HALF_TURN)))
CHORD = 2.0 * RADIUS * math.sin(math.radians(HALF_TURN))  # the longest; shorter ones bulge less
MARK = 2.2  # size of the type in a triangle
MARK_ROOM = 0.55  # of the triangle's width, at the foot of the letters


def cloud(box: Box, of: str) -> Iterator[Arc]:
    """A scalloped line along the edge of a box, which bulges out."""
    edge = corners(box)
    for a, b in pairwise((*edge, edge[0])):
        count = math.ceil(math.dist(a, b) / CHORD)
        stops = [_between(a, b, n / count) for n in range(count + 1)]
        for start, end in pairwise(stops):
            yield _scallop(start, end, of)


def _between(a: Point, b: Point, share: float) -> Point:
    return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))


def _scallop(a: Point, b: Point, of: str) -> Arc:
    """An arc clockwise from one point to another, its centre to the right of the way."""
    length = math.dist(a, b)
    right = ((a[1] - b[1]) / length, (b[0] - a[0]) / length)
    radius = length / 2 / math.sin(math.radians(HALF_TURN))
    depth = radius * math.cos(math.radians(HALF_TURN))
    x, y = _between(a, b, 0.5)
    centre = (x + depth * right[0], y + depth * right[1])
    start = math.degrees(math.atan2(a[1] - centre[1], a[0] - centre[0])) % 360.0
    return Arc(centre, radius, start, start + 2 * HALF_TURN, "revision", OUTLINE, of)


def triangle(room: Box, mark: str, of: str) -> Iterator[Item]:
    """A triangle with the mark of a revision, in type that fits."""
    middle, foot = room.x + room.width / 2, room.y + room.height
    edge = ((middle, room.y), (room.x + room.width, foot), (room.x, foot))
    yield Stroke(edge, "revision", LINE, closed=True, fill="paper", of=of)
    size = MARK * min(1.0, MARK_ROOM * room.width / (width_of(mark, MARK, bold=True) or 1.0))
    at = (middle, foot - 0.5 - (MARK - size) * CAPITAL / 2)
    yield Words(mark, at, "revision", size, "middle", bold=True, of=of)


def crossed(box: Box, of: str) -> Iterator[Stroke]:
    """A cross over the symbol of what is removed."""
    left_top, _, right_foot, _ = corners(box)
    yield Stroke((left_top, right_foot), "revision", LINE, of=of)
    yield struck(box, of)


def struck(box: Box, of: str) -> Stroke:
    """A line through what is removed, which leaves it legible."""
    _, right_top, _, left_foot = corners(box)
    return Stroke((left_foot, right_top), "revision", LINE, of=of)
