"""Samples of uncertain numbers: at random, by a Latin hypercube, or along Sobol's sequence. The
same seed gives the same samples.

Distributions by their numbers: normal: mean and standard deviation; uniform: low and high;
triangle: low, most likely, high."""

from __future__ import annotations

import math
import warnings
from collections.abc import Mapping
from statistics import NormalDist

import numpy as np

from hoggin.balance.result import Array
from hoggin.errors import HogginError
from hoggin.schema.tracing import Variable
from hoggin.studies.uncertainty.document import Method
from hoggin.studies.uncertainty.limits import Range


def unit_samples(method: Method, samples: int, numbers: int, random: np.random.Generator) -> Array:
    """(samples, numbers) of shares from 0 to 1.

    "latin": McKay, Beckman & Conover (1979): each number has one sample in every 1/samples of its
    distribution, in an order of its own.
    """
    drawn = random.random((samples, numbers))
    if method == "random":
        return drawn
    cells = np.tile(np.arange(samples)[:, None], numbers)
    return (random.permuted(cells, axis=0) + drawn) / samples


def sample_pair(
    method: Method, samples: int, numbers: int, random: np.random.Generator
) -> tuple[Array, Array]:
    """Two samples (samples, numbers) that are independent of one another.

    Raises HogginError if the sequence does not have so many numbers.
    """
    if method != "sequence":
        first, second = (unit_samples(method, samples, numbers, random) for _ in range(2))
        return first, second
    from scipy.stats import qmc

    if 2 * numbers > qmc.Sobol.MAXDIM:
        raise HogginError(f"Sobol's sequence supports at most {qmc.Sobol.MAXDIM // 2} numbers")
    with warnings.catch_warnings():  # it is most even at powers of 2, and warns at other lengths
        warnings.simplefilter("ignore", UserWarning)
        drawn = qmc.Sobol(2 * numbers, rng=random).random(samples)
    return drawn[:, :numbers], drawn[:, numbers:]


def left_out(variable: Variable, within: Range) -> float:
    """The share of a distribution that its range leaves out."""
    kept = share_below(variable, within.high) - share_below(variable, within.low)
    return max(0.0, 1.0 - kept)


def samples_of(
    variables: Mapping[str, Variable], ranges: Mapping[str, Range], shares: Array
) -> dict[str, Array]:
    """Values in SI units by name for shares (n, numbers), each distribution cut at its range.

    Raises HogginError if a distribution lies outside its range entirely.
    """
    found: dict[str, Array] = {}
    for column, (name, variable) in enumerate(variables.items()):
        within = ranges[name]
        low, high = share_below(variable, within.low), share_below(variable, within.high)
        if not high > low:
            raise HogginError(f"all values of `{name}` are outside {within.by}")
        cut = values_at(variable, low + shares[:, column] * (high - low))
        found[name] = np.clip(cut, within.low, within.high)
    return found


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
