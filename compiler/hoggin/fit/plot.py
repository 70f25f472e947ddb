"""Measured and fitted gradings above, residuals below, as one SVG."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from hoggin.fit.base import BaseClass
from hoggin.fit.calibrate import Calibration, SampleFit
from hoggin.fit.wording import figure, interval, points, summary
from hoggin.report.paths import Point, path, pixel
from hoggin.report.templating import render
from hoggin.report.wording import PREDICTION, shorten, sieve

WIDTH, LEFT, RIGHT = 820.0, 64.0, 796.0
TOP, FOOT = 84.0, 404.0  # of the gradings
LOWER_TOP, LOWER_FOOT = 436.0, 596.0  # of the residuals
KEY_TOP, KEY_LINE = 662.0, 20.0
MOST_KEYS = 10  # samples named in the key
MARKS = ("disc", "ring", "square", "frame", "up", "down")
DASHES = ("", "9 4", "3 3", "12 4 3 4", "16 5")  # one fewer than marks: pairs repeat after 30
_SIZES = tuple(step * 10.0**decade for decade in range(-4, 5) for step in (1.0, 2.0, 5.0))
_STEPS = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)  # points, between lines of the residuals
_DRAWN = (0.001, 0.999)  # fractions passing between which a curve is drawn


@dataclass(frozen=True, slots=True)
class _Frame:
    """From size in mm and fraction passing, or residual in points, to places on the sheet."""

    low_mm: float
    high_mm: float
    reach: float  # points above and below no residual

    def across(self, mm: float) -> float:
        share = math.log(mm / self.low_mm) / math.log(self.high_mm / self.low_mm)
        return LEFT + (RIGHT - LEFT) * min(1.0, max(0.0, share))

    def up(self, passing: float) -> float:
        return TOP + (FOOT - TOP) * (1.0 - passing)

    def off(self, residual: float) -> float:
        """The height of a residual in points."""
        middle, half = (LOWER_TOP + LOWER_FOOT) / 2, (LOWER_FOOT - LOWER_TOP) / 2
        return middle - half * residual / self.reach


@dataclass(frozen=True, slots=True)
class _Drawn:
    """One sample: its fitted curve and its measured points, above and below."""

    label: str
    path: str
    dash: str
    mark: str
    measured: tuple[Point, ...]
    residuals: tuple[Point, ...]


def residual_plot(base: BaseClass, calibration: Calibration, data: str) -> str:
    """The SVG; the same fit gives the same bytes."""
    step = _step(calibration)
    frame = _frame(calibration.samples, step)
    drawn = [_sample(frame, fit, place) for place, fit in enumerate(calibration.samples)]
    keys = drawn[:MOST_KEYS]
    more = len(drawn) - len(keys)
    notes = [f"and {more} more"] if more else []
    notes += [
        shorten(f"{e.parameter.label} = {figure(e.value)}, {interval(e)}", 105)
        for e in calibration.estimates
    ]
    spread = 100.0 * calibration.deviation
    lines = len(keys) + len(notes)
    return render(
        "residuals.svg.j2",
        {"number": pixel},
        width=WIDTH,
        height=KEY_TOP + KEY_LINE * lines + 30,
        left=LEFT,
        right=RIGHT,
        top=TOP,
        foot=FOOT,
        lower_top=LOWER_TOP,
        lower_foot=LOWER_FOOT,
        key_top=KEY_TOP,
        key_line=KEY_LINE,
        title=shorten(f"{base.name} fitted to {data}", 80),
        about=shorten(f"Breakage {base.model.name}. {summary(base, calibration)}.", 125),
        band=(frame.off(spread), frame.off(-spread)),
        band_label=f"shaded: one standard deviation, {points(calibration.deviation)} points",
        verticals=[(frame.across(mm), sieve(mm)) for mm in _ticks(frame)],
        horizontals=[(frame.up(p / 100), p) for p in range(0, 101, 20)],
        offsets=[(frame.off(k * step), f"{k * step:+g}" if k else "0") for k in range(-2, 3)],
        samples=drawn,
        keys=keys,
        notes=notes,
        prediction=PREDICTION,
    )


def _step(calibration: Calibration) -> float:
    largest = max(
        100.0 * calibration.deviation,
        *(100.0 * abs(r) for fit in calibration.samples for r in fit.residuals),
    )
    return next((step for step in _STEPS if 2.0 * step >= largest), _STEPS[-1])


def _frame(samples: Sequence[SampleFit], step: float) -> _Frame:
    measured = [point.size_mm for fit in samples for point in fit.sample.product]
    inside = [mm for fit in samples for mm, p in fit.curve if p < _DRAWN[1]]
    high = max([*measured, *(mm for mm in inside if mm >= min(measured))])
    low_tick = max(size for size in _SIZES if size <= min(measured) * 1.0001)
    high_tick = min(size for size in _SIZES if size >= high / 1.0001 and size > low_tick)
    return _Frame(low_tick, high_tick, 2.0 * step)


def _ticks(frame: _Frame) -> list[float]:
    return [s for s in _SIZES if frame.low_mm / 1.0001 <= s <= frame.high_mm * 1.0001]


def _sample(frame: _Frame, fit: SampleFit, place: int) -> _Drawn:
    curve = [(mm, p) for mm, p in fit.curve if frame.low_mm <= mm <= frame.high_mm]
    product = fit.sample.product
    name = fit.sample.name or "measured"
    return _Drawn(
        label=shorten(f"{name}: css {fit.css_mm:g} mm, {len(product)} sieves", 105),
        path=path((frame.across(mm), frame.up(p)) for mm, p in curve),
        dash=DASHES[place % len(DASHES)],
        mark=MARKS[place % len(MARKS)],
        measured=tuple((frame.across(p.size_mm), frame.up(p.passing)) for p in product),
        residuals=tuple(
            (frame.across(p.size_mm), frame.off(100.0 * r))
            for p, r in zip(product, fit.residuals, strict=True)
        ),
    )
