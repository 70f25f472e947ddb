"""Crusher breakage from t10: the fineness of one breakage told by one measured number.

t10 is the fraction of a broken particle's mass that is finer than a tenth of its size; tn that
finer than an nth. A rock's t10 rises with the energy it is broken with, and all other tn follow
from t10. Operators are as in `breakage`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, class_sizes, column, gauss, per_case, size_grid
from hoggin.models.breakage import classification, progeny, repeated_breakage
from hoggin.models.following import blended_t10, classification_sizes, t10_of_feed
from hoggin.models.points import Band, Fineness

_WIDTH = 0.07  # log size of a class where the chance of breakage changes

# Points across a parent class: near its own size the progeny's curve bends too sharply for few.
_POINTS, _POINT_WEIGHTS = gauss(12)


def t10_operator(
    edges_mm: ArrayLike,
    *,
    k1: ArrayLike,
    k2: ArrayLike,
    t10_limit: ArrayLike,
    energy_scale: ArrayLike,
    specific_energy: ArrayLike,
    k3: ArrayLike = 2.3,
    alpha: ArrayLike = 0.7,
    k1_feed: ArrayLike = 0.0,
    k2_feed: ArrayLike = 0.0,
    t10_feed: ArrayLike = 0.0,
    usual_f80: ArrayLike = 0.0,
    f80_mm: ArrayLike | None = None,
    rock_shares: ArrayLike | None = None,
    points_mm: ArrayLike | None = None,
) -> Array:
    """Crusher product p = (I - C)(I - B C)^-1 f with the breakage B that a t10 gives.

    The t10 is one for all sizes: that of `specific_energy`, the energy of one breakage in the
    chamber (not of the whole pass, in which a particle breaks several times).

    Args:
        edges_mm: (n + 1,) class limits, mm, strictly falling to 0.
        k1, k2: (B,) mm; k3: (B,) pure number; as in `breakage.classification`.
        t10_limit, energy_scale, specific_energy: (B,) as in `t10`.
            With `rock_shares` the first two may be (B, K), each rock's own.
        alpha: (B,) as in `appearance`.
        k1_feed, k2_feed, t10_feed, usual_f80: (B,) as in `following`.
        f80_mm: (B,) of the crusher's feed, mm; without it k1, k2 and t10 hold as they are given.
        rock_shares: (B, K) mass fraction of each rock in the feed, as in `following.blended_t10`.
        points_mm: (n,) mm, the size that stands for each class, as in `points`; without it the
            class is averaged.

    Returns:
        (B, n, n) operator.

    Raises:
        ValueError: if the edges do not fall to 0, k2 is not above k1, or t10 is not a fraction
            between 0 and 1.

    Source: Whiten (1972); Napier-Munn et al. (1996), ch. 4 and 6; King (2001), ch. 5; from memory.
    """
    edges = size_grid(edges_mm)
    rock = {"t10_limit": t10_limit, "energy_scale": energy_scale}
    broken = (
        t10(**rock, specific_energy=specific_energy)
        if rock_shares is None
        else blended_t10(**rock, specific_energy=specific_energy, rock_shares=rock_shares)
    )
    if f80_mm is not None:
        broken = t10_of_feed(broken, t10_feed=t10_feed, usual_f80=usual_f80, f80_mm=f80_mm)
        k1, k2 = classification_sizes(
            k1=k1, k2=k2, k1_feed=k1_feed, k2_feed=k2_feed, usual_f80=usual_f80, f80_mm=f80_mm
        )
    breakage = t10_breakage_matrix(edges, fraction=broken, alpha=alpha, points_mm=points_mm)
    classified = classification(edges, k1=k1, k2=k2, k3=k3, points_mm=points_mm)
    return repeated_breakage(breakage, classified)


def t10_fineness(*, k1: float, k2: float) -> Fineness:
    """Classes for `t10_operator`: those of the classification, and finer, as next to no progeny is
    close to its parent's size and much of it not far below."""
    return Fineness((k1, k2), (Band(k1, k2, _WIDTH),))


def t10(*, t10_limit: ArrayLike, energy_scale: ArrayLike, specific_energy: ArrayLike) -> Array:
    """t10 = A (1 - exp(-b Ecs)): how finely one breakage of a given energy breaks.

    Args:
        t10_limit: (B,) A, the fraction t10 nears at high energy; usually 0.3 to 0.7.
        energy_scale: (B,) 1 / b, kWh/t; b is usually 0.2 to 2 t/kWh.
        specific_energy: (B,) Ecs, energy of one breakage over the particle's mass, kWh/t.

    Returns:
        (B,) fraction finer than a tenth of the parent's size.

    Source: Napier-Munn et al. (1996), ch. 4; King (2001), ch. 5; equation and ranges from memory.
    """
    reached = -np.expm1(-per_case(specific_energy) / per_case(energy_scale))
    return per_case(t10_limit) * reached


def appearance(n: ArrayLike, *, fraction: ArrayLike, alpha: ArrayLike = 0.7) -> Array:
    """Fraction finer than an nth of the parent, tn = 1 - (1 - t10)^((9 / (n - 1))^alpha).

    It is t10 at n = 10 whatever alpha, all of the mass at n = 1, and falls evenly to nothing
    between: one formula needs no splicing to be monotone.

    Args:
        n: (k,) parent size over size, at least 1.
        fraction: (B,) t10.
        alpha: (B,) how fast the curve falls with n; 0.6 to 0.9 by tables for crushers.

    Returns:
        (B, k) tn.

    Source: King (2001), ch. 5, the truncated Rosin-Rammler form; from memory.
    """
    below = np.asarray(n, dtype=np.float64) - 1.0
    with np.errstate(divide="ignore"):  # at the parent's own size the exponent is endless
        exponent = (9.0 / below) ** column(alpha)
    return -np.expm1(np.log1p(-column(fraction)) * exponent)


def t10_breakage_matrix(
    edges_mm: ArrayLike,
    *,
    fraction: ArrayLike,
    alpha: ArrayLike = 0.7,
    points_mm: ArrayLike | None = None,
) -> Array:
    """Progeny by class of one breakage of each parent class, from its t10.

    B(x, y) is tn at n = y / x, averaged over parents across their class.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        fraction: (B,) t10.
        alpha: (B,) as in `appearance`.
        points_mm: (n,) mm, the size that stands for each class, as in `points`; without it the
            class is averaged.

    Returns:
        (B, n, n) matrix, [b, i, j] the fraction of parents j that ends in class i.

    Raises:
        ValueError: if the edges do not fall to 0, or t10 is not a fraction between 0 and 1.

    Source: Napier-Munn et al. (1996), ch. 4; King (2001), ch. 5; from memory.
    """
    edges = size_grid(edges_mm)
    finest = per_case(fraction)
    if np.any((finest <= 0.0) | (finest >= 1.0)):
        raise ValueError("t10 must lie between 0 and 1")
    upper, lower = edges[:-1], edges[1:]
    parents = lower[:, np.newaxis] + (upper - lower)[:, np.newaxis] * _POINTS  # (n, points)
    weights = _POINT_WEIGHTS
    if points_mm is not None:
        parents, weights = class_sizes(edges, points_mm)
    with np.errstate(divide="ignore"):
        ratio = np.maximum(parents / edges[:, np.newaxis, np.newaxis], 1.0)  # (n + 1, n, points)
    finer = appearance(ratio.ravel(), fraction=finest, alpha=alpha)
    means = finer.reshape(-1, *ratio.shape) @ weights
    return progeny(means, points_mm)
