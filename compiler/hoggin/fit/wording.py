"""Numbers and verdicts of a fit in words, the same in the library, the report and the plot."""

from __future__ import annotations

import math

from hoggin.fit.base import BaseClass
from hoggin.fit.calibrate import Calibration, Estimate
from hoggin.report.wording import fixed, significant


def figure(value: float) -> str:
    """A coefficient as it is written into the library: it reads back as the same number."""
    return significant(value, 5)


def points(share: float) -> str:
    """A fraction passing as percentage points: `0.85`."""
    return fixed(100.0 * share, 2)


def interval(estimate: Estimate) -> str:
    """`95 % confidence 0.671 to 0.695`, or why there is none."""
    match estimate.verdict:
        case "at a bound":
            low, high = estimate.parameter.low, estimate.parameter.high
            side = "lower" if estimate.value - low < high - estimate.value else "upper"
            return f"at the {side} bound of its range, no confidence interval"
        case "undetermined" if not math.isfinite(estimate.high):
            return "not determined by the data, no confidence interval"
        case "undetermined":
            return f"not determined by the data, 95 % confidence {_limits(estimate)}"
    return f"95 % confidence {_limits(estimate)}"


def _limits(estimate: Estimate) -> str:
    return f"{significant(estimate.low, 3)} to {significant(estimate.high, 3)}"


def summary(base: BaseClass, calibration: Calibration) -> str:
    """What was fitted to how much, and how well, in one line."""
    count = len(calibration.samples)
    low, high = min(base.css_mm), max(base.css_mm)
    css = f"css {low:g} mm" if low == high else f"css {low:g} mm to {high:g} mm"
    return (
        f"{count} sample{'' if count == 1 else 's'}, {css}, {calibration.points} points, "
        f"residual standard deviation {points(calibration.deviation)} % passing"
    )
