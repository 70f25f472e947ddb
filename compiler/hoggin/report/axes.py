"""Linear axes of the plots of studies: ticks at round values, and numbers as wide as they need."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from hoggin.report.wording import fixed

_STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)
_SLACK = 1e-9
_NARROWEST = 0.01
_FLAT = 1e-7  # a spread this small against the value is what the solver leaves


@dataclass(frozen=True, slots=True)
class Axis:
    """Values from `low` to `high` to places from `start` to `end`, in pixels."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        return self.start + (self.end - self.start) * (value - self.low) / (self.high - self.low)

    def ticks(self, about: int) -> list[float]:
        """Round values within the axis, `about` so many."""
        return ticks(self.low, self.high, about)

    def marks(self, about: int) -> list[tuple[float, str]]:
        """Places and texts of the ticks."""
        values = self.ticks(about)
        decimals = tick_decimals(values)
        return [(self.at(value), fixed(value, decimals)) for value in values]


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
