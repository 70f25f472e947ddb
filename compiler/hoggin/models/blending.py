"""Proportions in which gradings are mixed to lie as well as can be inside a band."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, over

# Half of what a sieve analysis, reported to a whole per cent, takes for all passing: so a mix whose
# smallest shares are left out still passes.
_WHOLE = 0.00025
_NARROWEST = 0.005  # half width of a band whose limits coincide; t can't be below -1 over this
_MOST_T = 2.0  # on the far side of every band that is open there
_NOUGHT = 1e-11
_MOST_PIVOTS = 10_000  # Bland's rule ends long before; a vertex on the way is still a mix


def best_shares(passing: ArrayLike, low: ArrayLike, high: ArrayLike) -> Array:
    """Mass shares that keep the mix farthest from the nearest limit of a band.

    A linear programme: the greatest t with passing - low >= t h and high - passing >= t h on every
    sieve, h half the band's width there, shares not negative and summing to 1. At t = 1 the mix is
    in the middle of the band on its worst sieve, at 0 on a limit, and below 0 no mix lies inside.
    Margins are counted in half widths because one in per cent would be set by the narrowest limits
    (98 % to 100 %, 0 % to 5 %) whatever the mix does in between. A limit of 0 % or 100 % that can't
    be missed is left out. A sieve that must pass 100 % is held to within 0.025 %, and says no more,
    if any mix can; otherwise it counts as the others do.

    Args:
        passing: (k, m) fraction passing of each grading on the band's sieves.
        low, high: (m,) limits, fraction passing.

    Returns:
        (k,) shares. Where several mixes are equally good, one of them.

    Raises:
        ValueError: if there is no grading, or the shapes do not fit.

    Source: Dantzig (1951) for the simplex method, Bland (1977) for its rule against cycling. That
    gradings add by mass is conservation of mass. Range: dry mixing of gradings whose densities are
    alike; bands are by mass, mixes by volume need the densities.

    Example, by hand: 40 % passing is the middle of 35 % to 45 %, half way between 60 % and 20 %.

    >>> best_shares([[0.6], [0.2]], low=[0.35], high=[0.45]).round(3)
    array([0.5, 0.5])
    """
    finer = np.asarray(passing, dtype=np.float64)
    least, most = np.asarray(low, dtype=np.float64), np.asarray(high, dtype=np.float64)
    if finer.ndim != 2 or len(finer) == 0 or not least.shape == most.shape == finer.shape[1:]:
        raise ValueError("a mix needs gradings (k, m), one limit a sieve, and at least one grading")
    whole = least >= 1.0
    coarse: Array = (1.0 - finer[:, whole]).max(axis=1, initial=0.0)
    first = int(np.argmin(coarse))
    if coarse[first] > _WHOLE:  # no mix passes: the sieve is missed by as little as can be
        whole = np.zeros_like(whole)
    # The first grading's share is what the others leave, and t is counted from below the least it
    # can be: so the programme starts from nothing and needs no search for a first solution.
    others = np.delete(np.arange(len(finer)), first)
    binds_low, binds_high = (least > 0.0) & ~whole, most < 1.0
    steps = (finer[others] - finer[first]).T  # (m, k - 1)
    half = np.maximum(0.5 * (most - least), _NARROWEST)
    above = finer[first] - least + half / _NARROWEST
    below = most - finer[first] + half / _NARROWEST
    rows = [  # each: the others' shares, t, bound
        np.column_stack([-steps, half, above])[binds_low],
        np.column_stack([steps, half, below])[binds_high],
        np.array([[*np.ones(len(others)), 0.0, 1.0]]),
        np.array([[*np.zeros(len(others)), 1.0, _MOST_T + 1.0 / _NARROWEST]]),
    ]
    if whole.any():
        rows.append(np.array([[*(coarse[others] - coarse[first]), 0.0, _WHOLE - coarse[first]]]))
    programme: Array = np.vstack(rows)
    found = _greatest_last(programme[:, :-1], programme[:, -1])
    shares = np.insert(found[:-1], first, 1.0 - found[:-1].sum())
    shares = np.where(shares > _NOUGHT, shares, 0.0)
    result: Array = shares / shares.sum()
    return result


def _greatest_last(rows: Array, bounds: Array) -> Array:
    """x >= 0 with rows @ x <= bounds and the last x as great as can be; bounds are not negative.

    Args:
        rows: (r, n). bounds: (r,).

    Returns:
        (n,) x.
    """
    count, size = rows.shape
    table = np.column_stack([rows, np.eye(count), bounds])
    gain = np.zeros(size + count + 1)
    gain[size - 1] = -1.0
    basis = size + np.arange(count)
    for _ in range(_MOST_PIVOTS):
        rising = np.flatnonzero(gain[:-1] < -_NOUGHT)
        if rising.size == 0:
            break
        enters = rising[0]
        column = table[:, enters]
        room = over(table[:, -1], column, column > _NOUGHT, np.inf)
        ties = np.flatnonzero(room <= room.min() + _NOUGHT)
        leaves = ties[np.argmin(basis[ties])]
        table[leaves] /= table[leaves, enters]
        others = np.arange(count) != leaves
        table[others] -= np.outer(table[others, enters], table[leaves])
        gain = gain - gain[enters] * table[leaves]
        basis[leaves] = enters
    x = np.zeros(size + count)
    x[basis] = table[:, -1]
    return x[:size]
