"""Gradings: from a feed's sieve points to size classes, and from size classes back to sizes.

Class arrays are (B, n), coarse to fine, on (n + 1,) edges that fall to 0.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, by_class, column, over, per_case, share_below, size_grid

FINENESS_SIEVES_MM = (150.0, 75.0, 37.5, 19.0, 9.5, 4.75, 2.36, 1.18, 0.6, 0.3, 0.15)
"""The sieves of the fineness modulus (ASTM C136)."""


def passing(edges_mm: ArrayLike, mass: ArrayLike) -> Array:
    """Fraction passing each edge.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        mass: (B, n) mass, or mass flow, by class.

    Returns:
        (B, n + 1) fraction, 1 at the first edge and 0 at the last; zeros where there is no mass.

    Raises:
        ValueError: if the edges do not fall to 0.

    >>> passing([40.0, 20.0, 10.0, 0.0], [20.0, 30.0, 50.0])
    array([[1. , 0.8, 0.5, 0. ]])
    """
    size_grid(edges_mm)
    classes = by_class(mass)
    finer = np.cumsum(classes[:, ::-1], axis=1)[:, ::-1]
    finer = np.concatenate([finer, np.zeros((finer.shape[0], 1))], axis=1)
    return over(finer, finer[:, :1], empty=0.0)


def passing_at(edges_mm: ArrayLike, mass: ArrayLike, size_mm: ArrayLike) -> Array:
    """Fraction finer than a size.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        mass: (B, n) mass by class.
        size_mm: (B,) size, mm.

    Returns:
        (B,) fraction; 0 where there is no mass.

    Raises:
        ValueError: if the edges do not fall to 0.
    """
    classes = by_class(mass)
    finer = (classes * share_below(size_grid(edges_mm), size_mm)).sum(axis=1)
    return over(finer, classes.sum(axis=1), empty=0.0)


def passing_at_each(edges_mm: ArrayLike, mass: ArrayLike, sizes_mm: ArrayLike) -> Array:
    """Fraction finer than each of some sizes, as `passing_at` gives it for one.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        mass: (B, n) mass by class.
        sizes_mm: (k,) sizes, mm, of all cases.

    Returns:
        (B, k) fraction; 0 where there is no mass.

    Raises:
        ValueError: if the edges do not fall to 0.
    """
    classes = by_class(mass)
    total = classes.sum(axis=1)
    shares = share_below(size_grid(edges_mm), sizes_mm)  # (k, n), looked up once for all cases
    found = np.zeros((len(classes), len(shares)))
    for place, share in enumerate(shares):
        found[:, place] = over((classes * share).sum(axis=1), total, empty=0.0)
    return found


def size_at(edges_mm: ArrayLike, mass: ArrayLike, fraction: ArrayLike) -> Array:
    """Size at a fraction passing: P80 is `size_at(edges, product, 0.8)`. Undoes `passing_at`.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        mass: (B, n) mass by class.
        fraction: (B,) fraction passing, above 0 and up to 1.

    Returns:
        (B,) size, mm; nan where there is no mass.

    Raises:
        ValueError: if the edges do not fall to 0, or a fraction is not above 0 and up to 1.

    Example, by hand: 80 % pass 20 mm.

    >>> size_at([40.0, 20.0, 10.0, 0.0], [20.0, 30.0, 50.0], 0.8).round(3)
    array([20.])
    """
    edges, wanted = size_grid(edges_mm), column(fraction)
    if np.any((wanted <= 0.0) | (wanted > 1.0)):
        raise ValueError("a fraction passing must be above 0 and at most 1")
    finer = passing(edges, mass)
    # The class where the curve crosses: the last edge with at least the wanted fraction below it.
    crossing = np.maximum((finer >= wanted).sum(axis=1, keepdims=True) - 1, 0)
    crossing = np.minimum(crossing, edges.size - 2)
    above = np.take_along_axis(finer, crossing, axis=1)
    below = np.take_along_axis(finer, crossing + 1, axis=1)
    share = over(wanted - below, above - below)
    upper, lower = edges[crossing], edges[crossing + 1]
    ratio = over(lower, upper, lower > 0.0, 1.0)
    size: Array = np.where(lower > 0.0, upper * ratio ** (1.0 - share), upper * share)[:, 0]
    return size


def near_size(edges_mm: ArrayLike, mass: ArrayLike, aperture_mm: ArrayLike) -> Array:
    """Fraction within a quarter of the aperture: 0.75 to 1.25 times it, (B,).

    Source: King (2001), ch. 4.
    """
    aperture = per_case(aperture_mm)
    coarse, fine = 1.25 * aperture, 0.75 * aperture
    return passing_at(edges_mm, mass, coarse) - passing_at(edges_mm, mass, fine)


def fineness_modulus(edges_mm: ArrayLike, mass: ArrayLike) -> Array:
    """Sum of the fractions retained, cumulatively, on the sieves of `FINENESS_SIEVES_MM`.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        mass: (B, n) mass by class.

    Returns:
        (B,) modulus; nan where there is no mass.

    Raises:
        ValueError: if the edges do not fall to 0.

    Source: ASTM C136, definition in ASTM C125.

    Example, by hand: 2, 15, 35, 60, 85 and 97 % retained on 4.75 mm to 0.15 mm add up to 294 %.

    >>> sieves = [9.5, 4.75, 2.36, 1.18, 0.6, 0.3, 0.15, 0.0]
    >>> fineness_modulus(sieves, [2.0, 13.0, 20.0, 25.0, 25.0, 12.0, 3.0]).round(2)
    array([2.94])
    """
    classes = by_class(mass)
    retained = sum(
        (1.0 - passing_at(edges_mm, classes, sieve) for sieve in FINENESS_SIEVES_MM),
        start=np.zeros(classes.shape[0]),
    )
    return np.where(classes.sum(axis=1) > 0.0, retained, np.nan)


def class_fractions(edges_mm: ArrayLike, sizes_mm: ArrayLike, passing: ArrayLike) -> Array:
    """A feed's grading as the fraction in each size class.

    Between the given points the curve is monotone and smooth in the logarithm of size; below the
    finest it continues as a Gaudin-Schuhmann line with the slope of the last segment. Anything
    coarser than the grid falls in the first class.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        sizes_mm: (m,) sieve sizes, mm, strictly falling, at least two.
        passing: (m,) fraction passing each, from 1 at the coarsest and never rising.

    Returns:
        (n,) fractions; they sum to 1.

    Raises:
        ValueError: if the edges do not fall to 0, or the grading is not as described.

    Source: Fritsch & Carlson (1980) for the curve; Gaudin (1926), Schuhmann (1940) below it.

    Example, by hand: between sieves that are class limits, what passes one and not the next.

    >>> class_fractions([40.0, 20.0, 10.0, 0.0], [40.0, 20.0, 10.0], [1.0, 0.8, 0.5]).round(3)
    array([0.2, 0.3, 0.5])
    """
    edges = size_grid(edges_mm)
    sizes, finer = np.asarray(sizes_mm, dtype=np.float64), np.asarray(passing, dtype=np.float64)
    if sizes.size < 2 or np.any(np.diff(sizes) >= 0.0) or sizes[-1] <= 0.0:
        raise ValueError("a grading needs two sizes or more, falling and above 0")
    if finer.shape != sizes.shape or finer[0] != 1.0:
        raise ValueError("a grading starts at 100 % passing and has one fraction a size")
    if finer[-1] < 0.0 or np.any(np.diff(finer) > 0.0):
        raise ValueError("fraction passing must not be negative nor rise toward finer sizes")
    inner = np.clip(edges[:-1], sizes[-1], sizes[0])
    curve = pchip(np.log(sizes[::-1]), finer[::-1], np.log(inner))
    tail = finer[-1] * np.minimum(edges[:-1] / sizes[-1], 1.0) ** _tail_slope(sizes, finer)
    at_edges = np.where(edges[:-1] < sizes[-1], tail, curve)
    at_edges[0] = 1.0
    return -np.diff(np.append(at_edges, 0.0))


def _tail_slope(sizes: Array, finer: Array) -> float:
    """Log-log slope between the two finest points; 1 if nothing passes the finest."""
    if finer[-1] <= 0.0:
        return 1.0
    return float(np.diff(np.log(finer[-2:]))[0] / np.diff(np.log(sizes[-2:]))[0])


def pchip(x: Array, y: Array, at: Array) -> Array:
    """Monotone piecewise cubic through (x, y): no overshoot where the points do not.

    Args:
        x: (m,) strictly rising, at least two.
        y: (m,) values.
        at: (k,) where to evaluate, within x.

    Returns:
        (k,) values.

    Source: Fritsch & Carlson (1980), SIAM J. Numer. Anal. 17; slopes by the weighted harmonic mean
    of Fritsch & Butland (1984), SIAM J. Sci. Stat. Comput. 5.
    """
    step = np.diff(x)
    secant = np.diff(y) / step
    slope = _pchip_slopes(step, secant)
    segment = np.clip(np.searchsorted(x, at, side="right") - 1, 0, x.size - 2)
    h, t = step[segment], (at - x[segment]) / step[segment]
    cubic = (slope[segment] + slope[segment + 1] - 2.0 * secant[segment]) * h
    square = (3.0 * secant[segment] - 2.0 * slope[segment] - slope[segment + 1]) * h
    return y[segment] + t * (slope[segment] * h + t * (square + t * cubic))


def _pchip_slopes(step: Array, secant: Array) -> Array:
    if secant.size == 1:
        return np.repeat(secant, 2)
    before, after = secant[:-1], secant[1:]
    weight_before, weight_after = 2.0 * step[1:] + step[:-1], step[1:] + 2.0 * step[:-1]
    rising = before * after > 0.0
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        mean = (weight_before + weight_after) / (weight_before / before + weight_after / after)
    inner = np.where(rising, mean, 0.0)
    first = _end_slope(step[0], step[1], secant[0], secant[1])
    last = _end_slope(step[-1], step[-2], secant[-1], secant[-2])
    return np.concatenate([[first], inner, [last]])


def _end_slope(step: float, next_step: float, secant: float, next_secant: float) -> float:
    """Three-point slope at an end, held to the shape of the data."""
    slope = ((2.0 * step + next_step) * secant - step * next_secant) / (step + next_step)
    if slope * secant <= 0.0:
        return 0.0
    if secant * next_secant <= 0.0 and abs(slope) > 3.0 * abs(secant):
        return 3.0 * secant
    return slope
