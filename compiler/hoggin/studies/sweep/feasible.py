"""Where all requirements are met, between the steps of a sweep."""

from __future__ import annotations

import numpy as np

from hoggin.balance.result import Array
from hoggin.studies.intervals import merged
from hoggin.studies.sweep.document import Stretch

_JOINED = 1e-9  # of the range: stretches that near are one


def stretches(values: Array, margins: Array) -> tuple[Stretch, ...]:
    """Intervals of a setting in which no margin is below 0.

    values: (n,), rising; margins: (requirements, n), NaN where the plant has no balance. Between
    two steps a margin is linear; next to a step without a balance nothing is met.
    """
    found: list[Stretch] = []
    if not len(margins):
        margins = np.zeros((1, len(values)))
    for value in values[np.all(margins >= 0, axis=0)]:
        found.append((float(value), float(value)))
    for place in range(len(values) - 1):
        left, right = margins[:, place], margins[:, place + 1]
        if np.isnan(left).any() or np.isnan(right).any():
            continue
        low, high = _met_share(left, right)
        if low <= high:
            step = values[place + 1] - values[place]
            found.append((float(values[place] + low * step), float(values[place] + high * step)))
    return merged(found, _JOINED * float(values[-1] - values[0]))


def _met_share(left: Array, right: Array) -> tuple[float, float]:
    """The part of a step, from 0 to 1, where all of some straight lines are at 0 or above."""
    rise = right - left
    with np.errstate(divide="ignore", invalid="ignore"):
        crossing = np.where(rise != 0, -left / rise, 0.0)
    low = np.where(left >= 0, 0.0, np.where(right >= 0, crossing, np.inf))
    high = np.where(right >= 0, 1.0, np.where(left >= 0, crossing, -np.inf))
    return float(low.max()), float(high.min())
