"""Two points to a size class: what stands for its rock while a circuit is solved.

A class is cut at the middle of its log size into two halves, each with one of the two Gauss points
of the class. The rock of a class is taken to be at its points: what a point holds, screens sort and
crushers break by the point's size. Sums over a class's points are then exact to the fourth order in
its width, where a mean over the class, multiplied by what the class holds, is so to the second.

Source: Gauss (1814), Abramowitz & Stegun (1964), 25.4.29. What is broken stays within its class as
in the two-stage formula of third order of Crouzeix (1975), as in Hairer, Norsett & Wanner (1993),
II.7, but for what leaves its point's half (`breakage.progeny`); both from memory.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, size_grid

_SLOPE = 1.0 / np.sqrt(3.0)  # distance of the points over that of the halves' middles, over 2
_OWN, _OTHER = 0.5 + 0.25 / _SLOPE, 0.5 - 0.25 / _SLOPE  # of a point's rock, in its half or not
_SHARED = np.array([[_OWN, _OTHER], [_OTHER, _OWN]])
_FIRST = 0.5 - 0.5 * _SLOPE  # of a class's width, the coarser point from the upper limit


class Band(NamedTuple):
    """Sizes, mm, between which a model's curve needs classes at most so wide in log size."""

    low_mm: float
    high_mm: float
    width: float


class Fineness(NamedTuple):
    """How fine a model needs the classes. kinks_mm: sizes at which its formula changes; a class
    that holds one inside is as good as a plain mean. gathering_mm: sizes just above which a crusher
    hardly makes rock finer, so that the rock of a loop gathers toward them."""

    kinks_mm: tuple[float, ...]
    bands: tuple[Band, ...] = ()
    gathering_mm: tuple[float, ...] = ()


def halves(edges_mm: ArrayLike) -> Array:
    """Limits (2 n + 1,) of the halves of classes (n + 1,), mm: middles in log size, of the last
    class in size."""
    edges = size_grid(edges_mm)
    upper, lower = edges[:-1], edges[1:]
    middles = np.where(lower > 0.0, np.sqrt(upper * lower), 0.5 * upper)
    return np.append(np.column_stack([upper, middles]).ravel(), 0.0)


def points(edges_mm: ArrayLike) -> Array:
    """Sizes (2 n,) of the points of classes (n + 1,), mm, one in each half."""
    edges = size_grid(edges_mm)
    upper, lower = edges[:-1], edges[1:]
    ratio = np.where(lower > 0.0, lower, upper) / upper
    shares = np.array([_FIRST, 1.0 - _FIRST])
    inner = upper[:, None] * ratio[:, None] ** shares
    inner[-1] = upper[-1] * (1.0 - shares)
    sizes: Array = inner.ravel()
    return sizes


def at_points(in_halves: Array) -> Array:
    """Masses (..., 2 n) at the points from those in the halves: a density that is linear in log
    size gives both. None is negative, and a class keeps its sum."""
    found = in_halves.copy()
    to_points(found)
    return found


def to_points(masses: Array) -> None:
    """As `at_points`, in place."""
    coarse, fine = masses[..., 0::2], masses[..., 1::2]
    half = 0.5 * (coarse + fine)
    tilt = _SLOPE * (coarse - fine)
    np.minimum(tilt, half, out=tilt)
    np.maximum(tilt, -half, out=tilt)
    np.add(half, tilt, out=coarse)
    np.subtract(half, tilt, out=fine)


def in_halves(at_points: Array) -> Array:
    """Masses (..., 2 n) in the halves of those at the points: the inverse of `at_points`."""
    found: Array = (at_points.reshape(-1, 2) @ _SHARED).reshape(at_points.shape)
    return found
