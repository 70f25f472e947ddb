"""Measured and fitted gradings above, residuals below, as one SVG."""

from __future__ import annotations

from dataclasses import replace

from hoggin.fit.base import BaseClass
from hoggin.fit.calibrate import Calibration, SampleFit
from hoggin.fit.wording import figure, interval, points, summary
from hoggin.report.chart.gradings import DASHES, MOST, SIZE, passing_axis
from hoggin.report.chart.model import Axis, Chart, Item, Key, Marker, Markers, Panel, Series, box
from hoggin.report.chart.scale import sizes
from hoggin.report.chart.svg import svg

_MOST_KEYS = 10  # samples named in the key
_MARKS: tuple[Marker, ...] = ("disc", "ring", "square", "frame", "up", "down")
_DASHES = DASHES[: len(_MARKS) - 1]  # one fewer than marks: pairs repeat after 30
_STEPS = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)  # points, between lines of the residuals


def residual_plot(base: BaseClass, calibration: Calibration, data: str) -> str:
    """The SVG; the same fit gives the same bytes."""
    samples = list(enumerate(calibration.samples))
    across = _across(calibration)
    unlabelled = tuple((value, "") for value, _ in across.marks)
    keys = [Key(_named(fit), (_curve(fit, n, across), _marks(n))) for n, fit in samples]
    more = len(keys) - _MOST_KEYS
    chart = Chart(
        title=f"{base.name} fitted to {data}",
        about=f"Breakage {base.model.name}. {summary(base, calibration)}.",
        panels=(
            Panel(
                across=replace(across, marks=unlabelled, label=""),
                up=passing_axis(20, ""),
                items=(
                    *(_curve(fit, n, across) for n, fit in samples),
                    *(_marks(n, _measured(fit)) for n, fit in samples),
                ),
                height=320,
                note="product passing, % by mass: measured (marks) and fitted (lines)",
            ),
            _residuals(calibration, across),
        ),
        keys=(
            *keys[:_MOST_KEYS],
            *([Key(f"and {more} more")] if more > 0 else []),
            *(
                Key(f"{e.parameter.label} = {figure(e.value)}, {interval(e)}")
                for e in calibration.estimates
            ),
        ),
    )
    return svg(chart)


def _residuals(calibration: Calibration, across: Axis) -> Panel:
    spread = 100.0 * calibration.deviation
    step = _step(calibration)
    up = tuple((k * step, f"{k * step:+g}" if k else "0") for k in range(-2, 3))
    items: list[Item] = [box(across.low, across.high, -spread, spread, "tint", edge=False)]
    items.append(Series(((across.low, 0.0), (across.high, 0.0)), weight=1, faint=True))
    for n, fit in enumerate(calibration.samples):
        residuals = zip(_measured(fit), fit.residuals, strict=True)
        items.append(_marks(n, tuple((mm, 100.0 * r) for (mm, _), r in residuals)))
    told = f"shaded: one standard deviation, {points(calibration.deviation)} points"
    note = f"residuals, measured minus fitted, points; {told}"
    return Panel(across, Axis(-2.0 * step, 2.0 * step, up), tuple(items), height=160, note=note)


def _step(calibration: Calibration) -> float:
    largest = max(
        100.0 * calibration.deviation,
        *(100.0 * abs(r) for fit in calibration.samples for r in fit.residuals),
    )
    return next((step for step in _STEPS if 2.0 * step >= largest), _STEPS[-1])


def _across(calibration: Calibration) -> Axis:
    measured = [mm for fit in calibration.samples for mm, _ in _measured(fit)]
    inside = [mm for fit in calibration.samples for mm, p in fit.curve if p < MOST]
    high = max([*measured, *(mm for mm in inside if mm >= min(measured))])
    return sizes(min(measured), high, SIZE)


def _measured(fit: SampleFit) -> tuple[tuple[float, float], ...]:
    return tuple((point.size_mm, point.passing) for point in fit.sample.product)


def _curve(fit: SampleFit, place: int, across: Axis) -> Series:
    inside = tuple((mm, p) for mm, p in fit.curve if across.low <= mm <= across.high)
    return Series(inside, weight=1.6, dash=_DASHES[place % len(_DASHES)], faint=True)


def _marks(place: int, points: tuple[tuple[float, float], ...] = ()) -> Markers:
    return Markers(points, _MARKS[place % len(_MARKS)], 4.0)


def _named(fit: SampleFit) -> str:
    return f"{fit.sample.name or 'measured'}: css {fit.css_mm:g} mm, {len(fit.residuals)} sieves"
