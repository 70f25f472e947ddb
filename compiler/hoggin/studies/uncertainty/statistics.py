"""Figures of a sample: percentiles, and a chance with its sampling error."""

from __future__ import annotations

import math

import numpy as np

from hoggin.balance.result import Array

_Z = 1.959964  # of a two-sided 95 % interval


def percentiles(values: Array) -> tuple[float, float, float] | None:
    """P10, P50 and P90 of the finite values (n,), on the line between neighbours (Hyndman & Fan
    1996, type 7); None of none."""
    known = values[np.isfinite(values)]
    if not known.size:
        return None
    p10, p50, p90 = np.quantile(known, [0.1, 0.5, 0.9])
    return float(p10), float(p50), float(p90)


def wilson(successes: int, trials: int) -> tuple[float, float]:
    """The 95 % interval of a chance, from 0 to 1. Wilson (1927); the form from memory.

    Of a Latin hypercube the samples are not independent; the interval is then wide rather than
    tight.
    """
    if trials == 0:
        return 0.0, 1.0
    share, z2 = successes / trials, _Z * _Z
    middle = (share + z2 / (2 * trials)) / (1 + z2 / trials)
    half = (
        _Z
        * math.sqrt(share * (1 - share) / trials + z2 / (4 * trials * trials))
        / (1 + z2 / trials)
    )
    return max(0.0, middle - half), min(1.0, middle + half)
