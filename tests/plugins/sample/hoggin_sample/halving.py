"""The process model itself: pure numpy."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray


def operator(edges_mm: ArrayLike, *, gap: ArrayLike) -> NDArray[np.float64]:
    """(B, n, n): pieces above the gap end evenly spread by size below it, all others stay.

    A class that the gap cuts counts as above it where its lower limit is at or above the gap.
    """
    edges = np.asarray(edges_mm, dtype=np.float64)
    gaps = np.atleast_1d(np.asarray(gap, dtype=np.float64))[:, None]
    upper, lower = edges[:-1], edges[1:]
    below = np.clip(gaps - lower, 0.0, upper - lower)
    spread = below / below.sum(axis=1, keepdims=True)
    broken = (lower >= gaps)[:, None, :]
    return np.where(broken, spread[:, :, None], np.eye(len(upper))[None])
