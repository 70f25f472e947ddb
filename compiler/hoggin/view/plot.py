"""A small plot of gradings for the details: size on a log axis, per cent passing."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from hoggin.report.templating import render
from hoggin.report.wording import sieve

WIDTH, HEIGHT = 440.0, 300.0
LEFT, RIGHT, TOP, FOOT = 46.0, 12.0, 10.0, 254.0
TICKS = (1.0, 2.0, 5.0)  # in every decade of size
LEAST, MOST = 0.001, 0.999  # the curve is drawn out to the sieves where it leaves these
DASHES = ("", "9 4", "3 3", "12 4 3 4", "16 5", "6 3 2 3 2 3")
HEIGHTS = (0.72, 0.5, 0.3, 0.6, 0.4, 0.2)  # passing at which curves carry their numbers
FEWEST_PIXELS = 34.0  # between two sizes written under the axis
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Grading:
    """(size mm, fraction passing), in any order."""

    name: str
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Limits:
    """A specification: (size mm, least, most), fractions passing."""

    name: str
    points: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, slots=True)
class Curve:
    path: str
    dash: str
    number: int
    at: Point  # where its number stands


def plot(gradings: Sequence[Grading], limits: Sequence[Limits] = ()) -> str:
    """The plot as SVG; "" when there is no curve to draw. Numbers tell the curves apart."""
    curves = [sorted(grading.points) for grading in gradings]
    sizes = [mm for curve in curves for mm in _telling(curve)]
    sizes += [mm for limit in limits for mm, _, _ in limit.points]
    if not sizes:
        return ""
    low, high = min(sizes), max(sizes)
    high = max(high, 2 * low)

    def across(mm: float) -> float:
        share = math.log(mm / low) / math.log(high / low)
        return LEFT + (WIDTH - LEFT - RIGHT) * min(1.0, max(0.0, share))

    def placed(points: Sequence[Point]) -> list[Point]:
        return [(across(mm), _up(p)) for mm, p in points]

    return render(
        "plot.svg.j2",
        {"number": _number},
        package="hoggin.view",
        width=WIDTH,
        height=HEIGHT,
        left=LEFT,
        right=WIDTH - RIGHT,
        top=TOP,
        foot=FOOT,
        verticals=_verticals(low, high, across(low), across(high)),
        horizontals=[(_up(p / 100), p) for p in range(0, 101, 20)],
        regions=[
            _path(
                placed(
                    [(mm, most) for mm, _, most in limit.points]
                    + [(mm, least) for mm, least, _ in reversed(limit.points)]
                )
            )
            for limit in limits
        ],
        curves=[
            Curve(
                _path(placed([p for p in curve if low <= p[0] <= high])),
                DASHES[n % len(DASHES)],
                n + 1,
                _mark(placed([p for p in curve if low <= p[0] <= high]), HEIGHTS[n % len(HEIGHTS)]),
            )
            for n, curve in enumerate(curves)
        ],
        told=", ".join(f"{n}: {grading.name}" for n, grading in enumerate(gradings, start=1)),
    )


def _telling(curve: Sequence[Point]) -> list[float]:
    """Sizes from the last that nothing passes to the first that all pass."""
    inside = [n for n, (_, p) in enumerate(curve) if LEAST < p < MOST]
    if not inside:
        return [mm for mm, _ in curve][-2:]
    return [mm for mm, _ in curve[max(0, inside[0] - 1) : inside[-1] + 2]]


def _verticals(low: float, high: float, start: float, end: float) -> list[tuple[float, str]]:
    """Places of the round sizes, and their names where there is room for one."""
    decades = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    found: list[tuple[float, str]] = []
    last = -math.inf
    for mm in (step * 10.0**decade for decade in decades for step in TICKS):
        if not low <= mm <= high:
            continue
        x = start + (end - start) * math.log(mm / low) / math.log(high / low)
        named = x - last >= FEWEST_PIXELS
        last = x if named else last
        found.append((x, sieve(mm) if named else ""))
    return found


def _mark(curve: Sequence[Point], passing: float) -> Point:
    """The point of the curve that is nearest to that height."""
    return min(curve, key=lambda point: abs(point[1] - _up(passing)))


def _up(passing: float) -> float:
    return TOP + (FOOT - TOP) * (1.0 - min(1.0, max(0.0, passing)))


def _number(value: float) -> str:
    return f"{round(value, 2) + 0.0:.2f}"


def _path(points: Sequence[Point]) -> str:
    return "M" + " L".join(f"{_number(x)},{_number(y)}" for x, y in points)
