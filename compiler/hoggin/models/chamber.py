"""A crushing chamber: rock is classified for breakage or leaves, and what is broken is classified
again.

Chances C are by class, coarse to fine: (B, n) where one holds for all rock of a class, and
(B, n, m + 1) where it also depends on the class of feed that the rock comes from: a column for each
of the m coarsest, and one for all that are finer.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, column, per_case, size_grid

_SMALL = 8  # classes; below this a general inverse is as quick
_BLOCK = 16  # classes solved after one product with all coarser ones
MOST = 4.0
"""Times the usual size, and under it, from where `size_scale` is held."""


def filling_under(load: ArrayLike) -> Array:
    """How full a chamber is under its load: 0 starved, where pieces are broken one by one, to 1
    choke fed, where rock also breaks rock.

    w = u^3 (4 - 3 u), with u the load over the least load that keeps the chamber full; 1 from
    there on. It rises steadily, and without a bend where the chamber fills. At half of that load
    two thirds of the effect of starving are there.

    Args:
        load: (B,) feed over the feed from which on the chamber is full.

    Returns:
        (B,) filling, 0 to 1.

    Source: the two modes of breakage and the direction: Evertsson (2000), from memory; the form is
    common practice, no source.
    """
    full = np.clip(per_case(load), 0.0, 1.0)
    filling: Array = np.minimum(full**3 * (4.0 - 3.0 * full), 1.0)
    return filling


def part_filled(
    full: Callable[[], Array], starved: Callable[[], Array], filling: ArrayLike | None
) -> Array:
    """What a chamber makes of its feed between starved and full.

    The share `filling` of the rock is broken as in a full chamber, the rest as in a starved one.

    Args:
        full, starved: give what is made, (B, ...). Only what is needed is asked for.
        filling: (B,) as in `filling_under`; without it the chamber is full.

    Source: a mixture of two modes as in Evertsson (2000), from memory.
    """
    share = np.ones(1) if filling is None else per_case(filling)
    if (share == 1.0).all():
        return full()
    if not share.any():
        return starved()
    one, other = full(), starved()
    weight = share.reshape(-1, *(1 for _ in one.shape[1:]))
    mixed: Array = weight * one + (1.0 - weight) * other
    return mixed


def size_scale(
    edges_mm: ArrayLike,
    *,
    size_exponent: ArrayLike,
    usual_f80: ArrayLike,
    points_mm: ArrayLike | None = None,
) -> Array | None:
    """By how much K1 and K2 are larger for what comes from a coarser piece of feed.

    (d / usual)^e, held at a factor 4 from the usual size either way. A coarse piece is caught high
    in the chamber, where it is wide, and fewer strokes are left for its fragments. Published
    regressions say so of a feed's F80 (`following.classification_sizes`); here it holds for each
    size of the feed by itself, so that flows stay proportional to the feed.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        size_exponent: (B,) e; 0 for no effect.
        usual_f80: (B,) mm, size that k1 and k2 belong to.
        points_mm: (n,) size that stands for each class; without it the middle of its log size.

    Returns:
        (B, n) by class of the feed; None where no exponent is above 0.

    Raises:
        ValueError: if size_exponent is not 0 and usual_f80 not above 0.

    Source: the direction as in Napier-Munn et al. (1996), ch. 6, from memory; the form is common
    practice, no source.
    """
    exponent, usual = column(size_exponent), column(usual_f80)
    if not exponent.any():
        return None
    if np.any((exponent != 0.0) & (usual <= 0.0)):
        raise ValueError("size_exponent needs a usual_f80 above 0")
    sizes = middle_sizes(size_grid(edges_mm), points_mm)
    relative = sizes / np.where(usual > 0.0, usual, 1.0)
    scale: Array = np.clip(relative, 1.0 / MOST, MOST) ** exponent
    return scale


def unbroken_size(k: float, *, size_exponent: float, usual_f80: float) -> float:
    """Size d, mm, of the piece of feed whose own K1 (or K2) is its size: d = k (d / usual)^e with
    the scale of `size_scale`. Up to it pieces of feed are never (or from it always) broken."""
    most: float = MOST**size_exponent
    smallest, largest = k / most, k * most
    if size_exponent == 1.0:  # in proportion between the held sizes: all of them or none
        return largest if k >= usual_f80 else smallest
    within: float = usual_f80 * (k / usual_f80) ** (1.0 / (1.0 - size_exponent))
    return min(max(within, smallest), largest)


def middle_sizes(edges: Array, points_mm: ArrayLike | None = None) -> Array:
    """Size (n,) that stands for each class: its point, or the middle of its log size; half of its
    limit for the finest."""
    if points_mm is not None:
        return np.asarray(points_mm, dtype=np.float64)
    return np.asarray(np.sqrt(edges[:-1] * np.maximum(edges[1:], 0.25 * edges[:-1])))


def repeated_breakage(breakage: Array, classified: Array) -> Array:
    """(I - C)(I - B C)^-1 for breakage B (B, n, n) and chances C."""
    operator, (own, shared) = _arriving(breakage, classified), _parts(classified)
    # In place from here: for a batch of cases these arrays are the largest there are.
    count, end = own.shape[2], broken_classes(classified)
    operator[:, :end, :count] *= 1.0 - own[:, :end]
    operator[:, :end, count:] *= (1.0 - shared[:, :end])[..., np.newaxis]
    # Columns sum to 1 by algebra; this removes what rounding left.
    broken = operator[:, :, :end]
    broken /= broken.sum(axis=-2, keepdims=True)
    return operator


def times_broken(breakage: Array, classified: Array) -> Array:
    """C (I - B C)^-1, (B, n, n): tonnes that are broken in each class for a tonne of each class of
    the feed. Arguments as in `repeated_breakage`."""
    broken, (own, shared) = _arriving(breakage, classified), _parts(classified)
    count = own.shape[2]
    broken[:, :, :count] *= own
    broken[:, :, count:] *= shared[..., np.newaxis]
    return broken


def _parts(classified: Array) -> tuple[Array, Array]:
    """Chances for the parents that have some of their own, (B, n, m), and of the others, (B, n)."""
    if classified.ndim == 2:
        return np.empty((*classified.shape, 0)), classified
    return classified[..., :-1], classified[..., -1]


def broken_classes(chances: Array) -> int:
    """How many of the coarsest classes there are up to the finest in which anything is broken, of
    chances (B, n, ...)."""
    some = (chances > 0.0).any(axis=(0, *range(2, chances.ndim)))
    return int(np.flatnonzero(some)[-1]) + 1 if some.any() else 0


def _arriving(breakage: Array, classified: Array) -> Array:
    """(I - B C)^-1, (B, n, n): tonnes classified in each class for a tonne of each of the feed.

    Finer parents share their chances: one inverse serves them. The columns of the coarser ones are
    found together, from coarse to fine. What arrives where nothing is broken follows from the rest.
    """
    own, shared = _parts(classified)
    cases, classes = max(len(breakage), len(shared)), shared.shape[1]
    end = broken_classes(classified)
    count = min(own.shape[2], end)
    arriving = np.zeros((cases, classes, classes))
    diagonal = np.arange(classes)
    arriving[:, diagonal, diagonal] = 1.0
    system = breakage[:, count:end, count:end] * -shared[:, np.newaxis, count:end]
    inner = np.arange(end - count)
    system[:, inner, inner] += 1.0
    arriving[:, count:end, count:end] = _lower_inverse(system)
    broken = np.zeros((cases, end, end))
    broken[:, count:, count:] = shared[:, count:end, np.newaxis] * arriving[:, count:end, count:end]
    for first in range(0, end if count else 0, _BLOCK):
        last = min(first + _BLOCK, end)
        width = min(last, count)  # nothing comes from finer parents
        block = arriving[:, first:last, :width]
        block += breakage[:, first:last, :first] @ broken[:, :first, :width]
        for i in range(first, last):
            row = block[:, i - first]
            if i > first:
                row += (breakage[:, i : i + 1, first:i] @ broken[:, first:i, :width])[:, 0]
            row /= 1.0 - breakage[:, i, i, np.newaxis] * own[:, i, :width]
            broken[:, i, :width] = own[:, i, :width] * row
    arriving[:, end:, :end] = breakage[:, end:, :end] @ broken
    return arriving


def _lower_inverse(lower: Array) -> Array:
    """Inverse of lower-triangular matrices (B, n, n).

    By halves: the inverse of [[A, 0], [C, D]] is [[A', 0], [-D' C A', D']]. Half the work of a
    general inverse, and most of it in products.
    """
    size = lower.shape[-1]
    if size <= _SMALL:
        return np.linalg.inv(lower).astype(np.float64, copy=False)
    half = size // 2
    inverse = np.zeros_like(lower)
    first = _lower_inverse(lower[:, :half, :half])
    last = _lower_inverse(lower[:, half:, half:])
    inverse[:, :half, :half] = first
    inverse[:, half:, half:] = last
    inverse[:, half:, :half] = -(last @ (lower[:, half:, :half] @ first))
    return inverse
