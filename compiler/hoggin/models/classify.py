"""Wet classifiers (screws, cyclones): what settles, by a reduced-efficiency curve with bypass."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import (
    CLASS_POINTS,
    CLASS_WEIGHTS,
    Array,
    by_class,
    column,
    per_case,
    size_grid,
)


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


def settling_coarse(
    edges_mm: ArrayLike,
    cut_size_mm: ArrayLike,
    *,
    sharpness: ArrayLike = 2.5,
    bypass: ArrayLike = 0.1,
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

    Returns:
        (B, n) fraction to the coarse product, never rising toward finer classes.

    Raises:
        ValueError: if the edges do not fall to 0.

    Source: Plitt (1971, 1976), as in King (2001), ch. 4; form from memory.
    """
    edges = size_grid(edges_mm)
    cut, exponent, short = column(cut_size_mm), column(sharpness), column(bypass)
    upper, lower = edges[:-1], edges[1:]
    sizes = lower[:, np.newaxis] + (upper - lower)[:, np.newaxis] * CLASS_POINTS
    # Far above the cut everything settles: the power is kept within what exp can take.
    ratio = np.minimum(sizes / cut[..., np.newaxis], 1e6 ** (1.0 / exponent[..., np.newaxis]))
    floats = np.exp(-np.log(2.0) * ratio ** exponent[..., np.newaxis]) @ CLASS_WEIGHTS
    fraction: Array = short + (1.0 - short) * (1.0 - floats)
    return fraction
