"""The axes that every grading curve is drawn on."""

from __future__ import annotations

from collections.abc import Iterable

from hoggin.report.chart.model import Axis
from hoggin.report.chart.scale import sizes

LEAST, MOST = 0.001, 0.999  # fractions passing between which a curve tells something
DASHES = ("", "9 4", "3 3", "12 4 3 4", "16 5", "6 3 2 3 2 3")
SIZE, PASSING = "sieve size, mm (log scale)", "passing, % by mass"


def size_axis(found_mm: Iterable[float]) -> Axis:
    """Nature all the sizes, at least from one to its double."""
    found = list(found_mm) or [0.1, 100.0]
    return sizes(min(found), max(*found, 2 * min(found)), SIZE)


def passing_axis(step: int, label: str = PASSING) -> Axis:
    """Fractions passing, in per cent."""
    return Axis(0.0, 1.0, tuple((p / 100, str(p)) for p in range(0, 101, step)), label)
