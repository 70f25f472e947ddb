"""Statistics of a sample, with their sampling errors: percentiles, a chance, and the numbers that
cause the spread (Sobol indices, first and total)."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from hoggin.balance.result import Array

RESAMPLES = 500
_Z = 1.959964  # standard deviations on either side of the mean that contain 95 % of a normal
_FLAT = 1e-7  # a spread this small relative to the value is the solver's error, not a spread


@dataclass(frozen=True)
class Indices:
    """(numbers,) each; errors are half the width of a 95 % interval."""

    first: Array
    first_error: Array
    total: Array
    total_error: Array


def mixed(a: Array, b: Array) -> list[Array]:
    """The samples that the indices need besides `a` and `b`, both (n, numbers): `a` with one column
    replaced by that of `b`."""
    columns = np.arange(a.shape[1])
    return [np.where(columns == column, b, a) for column in columns]


def indices(
    of_a: Array, of_b: Array, of_mixed: Array, random: np.random.Generator
) -> Indices | None:
    """Sobol indices of one result; None if it does not vary.

    of_a, of_b: (n,) the result for two independent samples; of_mixed: (numbers, n) for `mixed`. A
    sample is left out if any of them has no value.

    First: mean(f_B (f_ABi - f_A)) / V, Saltelli et al. (2010), table 2 (b). Total:
    mean((f_A - f_ABi)^2) / (2 V), Jansen (1999), ibid. (f). Errors by resampling the rows
    (bootstrap, Efron 1979), RESAMPLES times. Forms from memory, compared with SALib in tests.
    """
    known = np.isfinite(of_a) & np.isfinite(of_b) & np.isfinite(of_mixed).all(axis=0)
    count = int(known.sum())
    if count < 2:
        return None
    a, b, ab = of_a[known], of_b[known], of_mixed[:, known]
    middle = float(np.mean([a.mean(), b.mean(), *ab.mean(axis=1)]))
    a, b, ab = a - middle, b - middle, ab - middle
    spread = float(np.concatenate([a, b]).std())
    if spread <= _FLAT * max(abs(middle), _FLAT):
        return None
    # Every estimate is a ratio of means over rows, so resampling is a product with row weights.
    rows = np.column_stack([a, b, a * a + b * b, *(b * (ab - a)), *((ab - a) ** 2), *(ab - a)])
    numbers = len(ab)
    once = _estimates(rows.mean(axis=0)[None], numbers)
    drawn = random.multinomial(count, np.full(count, 1 / count), RESAMPLES) / count
    again = _estimates(drawn @ rows, numbers)
    errors = _Z * again.std(axis=0, ddof=1)
    return Indices(once[0, :numbers], errors[:numbers], once[0, numbers:], errors[numbers:])


def _estimates(means: Array, numbers: int) -> Array:
    """(R, 2 x numbers) of first and total indices from means (R, columns) over the rows."""
    a, b, squares = means[:, :1], means[:, 1:2], means[:, 2:3]
    products, gaps, shifts = np.split(means[:, 3:], 3, axis=1)
    variance = squares / 2 - ((a + b) / 2) ** 2
    centre = (a + b + (a * numbers + shifts.sum(axis=1, keepdims=True))) / (numbers + 2)
    first = (products - centre * shifts) / variance
    total = gaps / 2 / variance
    return np.concatenate([first, total], axis=1)


def percentiles(values: Array) -> tuple[float, float, float] | None:
    """P10, P50 and P90 of the finite values (n,), interpolated linearly (Hyndman & Fan 1996, type
    7); None if there are none."""
    known = values[np.isfinite(values)]
    if not known.size:
        return None
    p10, p50, p90 = np.quantile(known, [0.1, 0.5, 0.9])
    return float(p10), float(p50), float(p90)


def wilson(successes: int, trials: int) -> tuple[float, float]:
    """The 95 % interval of a chance, from 0 to 1. Wilson (1927); the form from memory.

    The samples of a Latin hypercube are not independent; the interval then tends to be too wide.
    """
    if trials == 0:
        return 0.0, 1.0
    share, z2 = successes / trials, _Z**2
    middle = (share + z2 / (2 * trials)) / (1 + z2 / trials)
    spread = math.sqrt(share * (1 - share) / trials + z2 / (4 * trials * trials))
    half = _Z * spread / (1 + z2 / trials)
    return max(0.0, middle - half), min(1.0, middle + half)
