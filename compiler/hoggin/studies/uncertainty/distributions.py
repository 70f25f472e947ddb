"""The distributions of uncertain numbers: their shares below a value, and values by their share.

Normal: mean and standard deviation; uniform: low and high; triangle: low, most likely, high.
"""

from __future__ import annotations

import math
from statistics import NormalDist

import numpy as np

from hoggin.balance.result import Array
from hoggin.check.tracing import Variable

_LEAST = 2.0**-53  # a share of 0 or 1 has no value in a normal distribution


def share_below(variable: Variable, value: float) -> float:
    """The share of a distribution below a value, from 0 to 1."""
    numbers = variable.numbers
    if math.isinf(value):
        return 0.0 if value < 0 else 1.0
    if variable.kind == "normal":
        return NormalDist(*numbers).cdf(value)
    low, high = numbers[0], numbers[-1]
    if not low < value < high:
        return 0.0 if value <= low else 1.0
    if variable.kind == "uniform":
        return (value - low) / (high - low)
    likely = numbers[1]
    if value <= likely:
        return (value - low) ** 2 / ((high - low) * (likely - low))
    return 1.0 - (high - value) ** 2 / ((high - low) * (high - likely))


def values_at(variable: Variable, shares: Array) -> Array:
    """The values that shares (n,) from 0 to 1 of a distribution lie below, (n,)."""
    inner = np.clip(shares, _LEAST, 1.0 - _LEAST)
    numbers = variable.numbers
    if variable.kind == "normal":
        normal = NormalDist(*numbers)
        return np.array([normal.inv_cdf(float(share)) for share in inner])
    low, high = numbers[0], numbers[-1]
    width = high - low
    if variable.kind == "uniform":
        return np.asarray(low + inner * width)
    likely = numbers[1]
    rising = low + np.sqrt(inner * width * (likely - low))
    falling = high - np.sqrt((1.0 - inner) * width * (high - likely))
    return np.where(inner * width <= likely - low, rising, falling)
