"""Places of a drawing, in pixels, as SVG writes them."""

from __future__ import annotations

from collections.abc import Iterable

Point = tuple[float, float]


def pixel(value: float) -> str:
    """To a hundredth of a pixel, never a negative zero."""
    return f"{round(value, 2) + 0.0:.2f}"


def path(points: Iterable[Point]) -> str:
    """A line from point to point."""
    return "M" + " L".join(f"{pixel(x)},{pixel(y)}" for x, y in points)
