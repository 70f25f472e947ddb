"""Axes with ticks at round values, and numbers as wide as they need."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from hoggin.report.chart.model import Axis
from hoggin.report.wording import fixed, sieve

_STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)
_SLACK = 1e-9
_NARROWEST = 0.01
_FLAT = 1e-7  # a spread this small against the value is what the solver leaves
_SIZES = tuple(step * 10.0**decade for decade in range(-6, 7) for step in (1.0, 2.0, 5.0))
_LAST_DIGIT = 1.0001  # forgives the last digit of a size computed from its decade


def linear(low: float, high: float, about: int, label: str = "") -> Axis:
    """A linear axis with `about` so many ticks."""
    values = ticks(low, high, about)
    decimals = tick_decimals(values)
    return Axis(low, high, tuple((value, fixed(value, decimals)) for value in values), label)


def sizes(low_mm: float, high_mm: float, label: str = "") -> Axis:
    """A log axis that holds the sizes, from tick to tick: 1, 2 and 5 of every decade."""
    low = max(size for size in _SIZES if size <= low_mm * _LAST_DIGIT)
    high = min(size for size in _SIZES if size >= high_mm / _LAST_DIGIT and size > low)
    marks = tuple((size, sieve(size)) for size in _SIZES if low <= size <= high)
    return Axis(low, high, marks, label, log=True)


def rows(names: Sequence[str]) -> Axis:
    """Rows under one another, each a unit high: row `n` lies from `n` down to `n + 1`."""
    marks = tuple((place + 0.5, name) for place, name in enumerate(names))
    return Axis(float(len(names)), 0.0, marks, lines=False)


def ticks(low: float, high: float, about: int) -> list[float]:
    """Round values from `low` to `high`, `about` so many."""
    step = _step((high - low) / max(1, about))
    first, last = math.ceil(low / step - _SLACK), math.floor(high / step + _SLACK)
    return [n * step + 0.0 for n in range(first, last + 1)]


def tick_decimals(values: list[float]) -> int:
    """Decimals that tell neighbouring ticks apart."""
    if len(values) < 2:
        return decimals(values)
    step = values[1] - values[0]
    for places in range(10):
        if abs(round(step, places) - step) <= _SLACK * step:
            return places
    return 9


def roomy(values: Iterable[float], share: float = 0.08) -> tuple[float, float]:
    """A range that holds the values, with a share of it as room at either end. It is never narrower
    than a hundredth of the values themselves: a smaller change should look small."""
    low, high = bounds(values)
    least = _NARROWEST * max(abs(low), abs(high)) or 1.0
    room = max(share * (high - low), (least - (high - low)) / 2)
    return low - room, high + room


def bounds(values: Iterable[float]) -> tuple[float, float]:
    found = list(values)
    return min(found), max(found)


def flat(low: float, high: float) -> bool:
    """Whether values between these are all the same but for what the solver leaves."""
    return high - low <= _FLAT * max(abs(low), abs(high))


def decimals(values: Iterable[float | None], digits: int = 4) -> int:
    """Decimals for so many significant digits of the largest of the values."""
    largest = max((abs(v) for v in values if v is not None and math.isfinite(v)), default=0.0)
    if largest == 0:
        return 0
    return min(9, max(0, digits - 1 - math.floor(math.log10(largest))))


def _step(rough: float) -> float:
    decade = 10.0 ** math.floor(math.log10(rough))
    return next(step * decade for step in _STEPS if step * decade >= rough * (1 - _SLACK))
