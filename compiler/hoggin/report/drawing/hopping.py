"""Where lines cross, the level one hops over the upright one."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from hoggin.report.drawing.diagram import Point

Path = Sequence[Point]


def hops(paths: Sequence[Path]) -> list[tuple[Point, ...]]:
    """For each path the points at which it hops over another, in its own order."""
    upright = sorted(
        (x, min(top, foot), max(top, foot), k)
        for k, path in enumerate(paths)
        for (x, top), (other, foot) in pairwise(path)
        if x == other
    )
    return [_along(k, path, upright) for k, path in enumerate(paths)]


def _along(
    own: int, path: Path, upright: Sequence[tuple[float, float, float, int]]
) -> tuple[Point, ...]:
    found: list[Point] = []
    for (start, y), (end, other) in pairwise(path):
        if y != other:
            continue
        low, high = min(start, end), max(start, end)
        crossed = {
            (x, y) for x, top, foot, k in upright if k != own and low < x < high and top < y < foot
        }
        found += sorted(crossed, reverse=end < start)
    return tuple(found)
