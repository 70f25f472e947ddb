"""A small plot of gradings for the details: size on a log axis, per cent passing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hoggin.report.chart.gradings import DASHES, LEAST, MOST, passing_axis, size_axis
from hoggin.report.chart.ink import PAGE
from hoggin.report.chart.model import Area, Chart, Item, Panel, Points, Series
from hoggin.report.chart.svg import svg


@dataclass(frozen=True, slots=True)
class Grading:
    """(size mm, fraction passing), in any order."""

    name: str
    points: Points


@dataclass(frozen=True, slots=True)
class Limits:
    """A specification: (size mm, least, most), fractions passing."""

    name: str
    points: tuple[tuple[float, float, float], ...]


def plot(gradings: Sequence[Grading], limits: Sequence[Limits] = ()) -> str:
    """The plot as SVG; "" if there is no curve to draw. Numbers identify the curves."""
    curves = [sorted(grading.points) for grading in gradings]
    sizes = [mm for curve in curves for mm in _telling(curve)]
    sizes += [mm for limit in limits for mm, _, _ in limit.points]
    if not sizes:
        return ""
    axis = size_axis(sizes)
    items: list[Item] = [Area((_outline(limit),), "tint") for limit in limits]
    items += [
        Series(
            tuple((mm, p) for mm, p in curve if axis.low <= mm <= axis.high),
            dash=DASHES[n % len(DASHES)],
            tag=str(n + 1) * (len(curves) > 1),
            badge=True,
        )
        for n, curve in enumerate(curves)
    ]
    names = ", ".join(f"{n}: {grading.name}" for n, grading in enumerate(gradings, start=1))
    told = (
        f"Grading curves, per cent passing over sieve size. {names}. "
        "The same numbers are in the table below."
    )
    panel = Panel(axis, passing_axis(20), tuple(items), height=244)
    return svg(Chart("", told, (panel,), note="", width=440, margin=12), PAGE)


def _outline(limit: Limits) -> Points:
    upper = [(mm, most) for mm, _, most in limit.points]
    lower = [(mm, least) for mm, least, _ in reversed(limit.points)]
    return (*upper, *lower)


def _telling(curve: Sequence[tuple[float, float]]) -> list[float]:
    """Sizes from the last that nothing passes to the first that all pass."""
    inside = [n for n, (_, p) in enumerate(curve) if LEAST < p < MOST]
    if not inside:
        return [mm for mm, _ in curve][-2:]
    return [mm for mm, _ in curve[max(0, inside[0] - 1) : inside[-1] + 2]]
