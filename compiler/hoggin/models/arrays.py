"""Shapes the process models share: a leading batch axis, size classes coarse to fine."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def gauss(count: int) -> tuple[Array, Array]:
    """Gauss-Legendre points and weights on [0, 1]: a mean over a class's width is a weighted sum
    at these shares of it."""
    nodes, weights = np.polynomial.legendre.leggauss(count)
    return 0.5 + 0.5 * np.asarray(nodes), 0.5 * np.asarray(weights)


CLASS_POINTS, CLASS_WEIGHTS = gauss(5)


def per_case(value: ArrayLike) -> Array:
    """A coefficient as (B,); a plain number becomes a batch of one."""
    found = np.asarray(value, dtype=np.float64)
    return found if found.ndim else found.reshape(1)


def column(value: ArrayLike) -> Array:
    """A coefficient as (B, 1), ready to broadcast along size classes."""
    return per_case(value)[:, np.newaxis]


def by_class(mass: ArrayLike) -> Array:
    """Mass by size class as (B, n); one case becomes a batch of one."""
    return np.atleast_2d(np.asarray(mass, dtype=np.float64))


def over(
    part: Array, whole: Array, where: NDArray[np.bool_] | None = None, empty: ArrayLike = np.nan
) -> Array:
    """part / whole; `empty` where there is no whole."""
    known = whole > 0 if where is None else where
    out = np.full(np.broadcast(part, whole).shape, empty)
    share: Array = np.divide(part, whole, out=out, where=known)
    return share


def size_grid(edges_mm: ArrayLike) -> Array:
    """The size grid as (n + 1,).

    Raises:
        ValueError: if the edges do not fall strictly to a last edge of 0.
    """
    edges = np.asarray(edges_mm, dtype=np.float64)
    if edges.ndim != 1 or edges.size < 2 or edges[-1] != 0.0 or np.any(np.diff(edges) >= 0.0):
        raise ValueError("size class edges must fall strictly to a last edge of 0")
    return edges


def class_sizes(edges_mm: Array, points_mm: ArrayLike | None) -> tuple[Array, Array]:
    """Sizes (n, p), mm, and weights (p,) of a mean over each class: uniform in size, or the value
    at the one point that stands for the class."""
    if points_mm is not None:
        return np.asarray(points_mm, dtype=np.float64)[:, np.newaxis], np.ones(1)
    upper, lower = edges_mm[:-1], edges_mm[1:]
    return lower[:, np.newaxis] + (upper - lower)[:, np.newaxis] * CLASS_POINTS, CLASS_WEIGHTS


def share_below(edges_mm: Array, size_mm: ArrayLike) -> Array:
    """Share of each class finer than a size.

    Within a class mass is taken uniform in the logarithm of size; in the last class, which runs
    to 0, uniform in size.

    Args:
        edges_mm: (n + 1,) class limits.
        size_mm: (B,) size, mm.

    Returns:
        (B, n) share of each class, 0 to 1.
    """
    size = np.maximum(column(size_mm), np.finfo(np.float64).tiny)
    upper, lower = edges_mm[:-1], edges_mm[1:]
    inner = np.log(size / lower[:-1]) / np.log(upper[:-1] / lower[:-1])
    share: Array = np.concatenate([inner, size / upper[-1:]], axis=1)
    return np.clip(share, 0.0, 1.0)
