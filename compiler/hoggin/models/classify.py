"""Wet classifiers (screws, cyclones): what settles, by a reduced-efficiency curve with bypass."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import (
    Array,
    by_class,
    class_sizes,
    column,
    per_case,
    size_grid,
)
from hoggin.models.points import Band, Fineness


def settling_cut_size(edges_mm: ArrayLike, feed_t_h: ArrayLike, *, d50: ArrayLike) -> Array:
    """The corrected cut size d50c, as the class of machine states it, whatever the load.

    Args:
        edges_mm: (n + 1,) class limits, mm; not used, every partition model is given them.
        feed_t_h: (B, n) feed by class; only its number of cases counts.
        d50: (B,) corrected cut size, mm.

    Returns:
        (B,) cut size, mm.
    """
    del edges_mm
    return per_case(d50) * np.ones(by_class(feed_t_h).shape[0])


def settling_fineness(*, d50: float, sharpness: float) -> Fineness:
    """Classes for `settling_coarse`, about the corrected cut size."""
    reach = math.exp(3.0 / sharpness)
    return Fineness((), (Band(d50 / reach, d50 * reach, 1.15 / sharpness),))


def settling_coarse(
    edges_mm: ArrayLike,
    cut_size_mm: ArrayLike,
    *,
    sharpness: ArrayLike = 2.5,
    bypass: ArrayLike = 0.1,
    points_mm: ArrayLike | None = None,
) -> Array:
    """Fraction of each class that leaves with the coarse product.

    y(d) = Rf + (1 - Rf) (1 - exp(-0.693 (d / d50c)^m)), averaged over each class uniformly in
    size: the corrected curve in Rosin-Rammler form, and a share Rf of everything that goes with
    the water of the coarse product unclassified.

    Args:
        edges_mm: (n + 1,) class limits, mm, strictly falling to 0.
        cut_size_mm: (B,) corrected cut size d50c, mm.
        sharpness: (B,) exponent m; 1.5 to 4 for cyclones and screws.
        bypass: (B,) share Rf, 0 to 1.
        points_mm: (n,) mm, the size that stands for each class, as in `points`; without it the
            class is averaged.

    Returns:
        (B, n) fraction to the coarse product, never rising toward finer classes.

    Raises:
        ValueError: if the edges do not fall to 0.

    Source: Plitt (1971, 1976), as in King (2001), ch. 4; form from memory.

    Example, by hand: 0.1 + 0.9 x 0.5 at the cut size.

    >>> settling_coarse([0.3, 0.1, 0.0], 0.2, points_mm=[0.2, 0.01]).round(3)
    array([[0.55, 0.1 ]])
    """
    edges = size_grid(edges_mm)
    cut, exponent, short = column(cut_size_mm), column(sharpness), column(bypass)
    sizes, weights = class_sizes(edges, points_mm)
    # Far above the cut everything settles: the power is kept within what exp can take.
    ratio = np.minimum(sizes / cut[..., np.newaxis], 1e6 ** (1.0 / exponent[..., np.newaxis]))
    floats = np.exp(-np.log(2.0) * ratio ** exponent[..., np.newaxis]) @ weights
    fraction: Array = short + (1.0 - short) * (1.0 - floats)
    return fraction
