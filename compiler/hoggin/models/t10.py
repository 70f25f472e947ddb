"""Crusher breakage from t10: the fineness of one breakage told by one measured number.

t10 is the fraction of a broken particle's mass that is finer than a tenth of its size; tn that
finer than an nth. A rock's t10 rises with the energy it is broken with, and all other tn follow
from t10. Operators are as in `breakage`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import (
    Array,
    by_class,
    class_sizes,
    column,
    gauss,
    over,
    per_case,
    size_grid,
)
from hoggin.models.breakage import chamber_fineness, chances, progeny
from hoggin.models.chamber import (
    middle_sizes,
    part_filled,
    repeated_breakage,
    size_scale,
    times_broken,
)
from hoggin.models.following import (
    blended_t10,
    classification_sizes,
    energy_of_rock,
    mean_of_rocks,
    t10_of_feed,
)
from hoggin.models.grading import pchip
from hoggin.models.points import Fineness

_WIDTH = 0.08  # log size of a class where the chance of breakage changes

# Points across a parent class: near its own size the progeny's curve bends too sharply for few.
_POINTS, _POINT_WEIGHTS = gauss(12)

# Fraction finer than an nth of the parent, by t10 (a row each): the default appearance function of
# crushers, Napier-Munn et al. (1996), ch. 6; from memory. At n = 10 it is t10 itself.
_TABLE_T10 = np.array([0.10, 0.20, 0.30])
_TABLE_N = np.array([2.0, 4.0, 10.0, 25.0, 50.0, 75.0])
_TABLE = np.array(
    [
        [0.496, 0.212, 0.10, 0.054, 0.033, 0.028],
        [0.749, 0.450, 0.20, 0.103, 0.072, 0.057],
        [0.852, 0.614, 0.30, 0.157, 0.108, 0.081],
    ]
)
_FAR = 30.0  # in ln(n - 1), beyond the table either way: as good as the parent, and as nothing

_LEAST_KWH_T_MM = 0.04  # 0.15 J m/kg, limestone; Vogel & Peukert (2003), from memory
_TOUGHER_SMALL = 0.3  # power of size; direction of Shi & Kojovic (2007), figure from memory


def t10_operator(
    edges_mm: ArrayLike,
    *,
    k1: ArrayLike,
    k2: ArrayLike,
    t10_limit: ArrayLike,
    energy_scale: ArrayLike,
    specific_energy: ArrayLike,
    k3: ArrayLike = 2.3,
    energy_response: ArrayLike = 0.0,
    usual_toughness: ArrayLike = 2.5,
    size_exponent: ArrayLike = 0.0,
    k1_feed: ArrayLike = 0.0,
    k2_feed: ArrayLike = 0.0,
    t10_feed: ArrayLike = 0.0,
    usual_f80: ArrayLike = 0.0,
    starved_rise: ArrayLike = 0.0,
    filling: ArrayLike | None = None,
    f80_mm: ArrayLike | None = None,
    rock_shares: ArrayLike | None = None,
    points_mm: ArrayLike | None = None,
) -> Array:
    """Crusher product p = (I - C)(I - B C)^-1 f with the breakage B that a t10 gives.

    The t10 is one for all sizes: that of the energy of one breakage in the chamber (not of the
    whole pass, in which a particle breaks several times). A chamber squeezes by its stroke: it
    spends more energy on tougher rock, by `following.energy_of_rock`.

    Args:
        edges_mm: (n + 1,) class limits, mm, strictly falling to 0.
        k1, k2: (B,) mm; k3: (B,) pure number; as in `breakage.classification`.
        t10_limit, energy_scale, specific_energy: (B,) as in `t10`.
            With `rock_shares` the first two may be (B, K), each rock's own.
        energy_response, usual_toughness: (B,) as in `following.energy_of_rock`.
        size_exponent, usual_f80: (B,) as in `chamber.size_scale`.
        k1_feed, k2_feed, t10_feed, usual_f80: (B,) as in `following`.
        starved_rise, filling: (B,) as in `breakage.whiten_operator`.
        f80_mm: (B,) of the crusher's feed, mm; without it k1, k2 and t10 hold as they are given.
        rock_shares: (B, K) mass fraction of each rock in the feed, as in `following.blended_t10`.
        points_mm: (n,) mm, the size that stands for each class, as in `points`; without it the
            class is averaged.

    Returns:
        (B, n, n) operator.

    Raises:
        ValueError: if the edges do not fall to 0, k2 is not above k1, t10 is not a fraction
            between 0 and 1, or size_exponent is not 0 and usual_f80 not above 0.

    Source: Whiten (1972); Napier-Munn et al. (1996), ch. 4 and 6; King (2001), ch. 5; from memory.
    The effects of toughness, of the size of a piece and of the filling: common practice, no source.
    """
    edges = size_grid(edges_mm)

    def chamber(wider: Array) -> Array:
        breakage, classified, _ = _chamber(
            edges,
            k1=per_case(k1) * wider,
            k2=per_case(k2) * wider,
            t10_limit=t10_limit,
            energy_scale=energy_scale,
            specific_energy=specific_energy,
            k3=k3,
            energy_response=energy_response,
            usual_toughness=usual_toughness,
            size_exponent=size_exponent,
            k1_feed=k1_feed,
            k2_feed=k2_feed,
            t10_feed=t10_feed,
            usual_f80=usual_f80,
            f80_mm=f80_mm,
            rock_shares=rock_shares,
            points_mm=points_mm,
        )
        return repeated_breakage(breakage, classified)

    starved = 1.0 + per_case(starved_rise)
    return part_filled(lambda: chamber(np.ones(1)), lambda: chamber(starved), filling)


def t10_fineness(
    *, k1: float, k2: float, size_exponent: float, usual_f80: float, starved_rise: float = 0.0
) -> Fineness:
    """Classes for `t10_operator`: those of its chances, and finer, as next to no progeny is close
    to its parent's size and much of it not far below."""
    return chamber_fineness(
        k1=k1,
        k2=k2,
        size_exponent=size_exponent,
        usual_f80=usual_f80,
        starved_rise=starved_rise,
        width=_WIDTH,
    )


def t10(*, t10_limit: ArrayLike, energy_scale: ArrayLike, specific_energy: ArrayLike) -> Array:
    """t10 = A (1 - exp(-b Ecs)): how finely one breakage of a given energy breaks.

    Args:
        t10_limit: (B,) A, the fraction t10 nears at high energy; usually 0.3 to 0.7.
        energy_scale: (B,) 1 / b, kWh/t; b is usually 0.2 to 2 t/kWh.
        specific_energy: (B,) Ecs, energy of one breakage over the particle's mass, kWh/t.

    Returns:
        (B,) fraction finer than a tenth of the parent's size.

    Source: Napier-Munn et al. (1996), ch. 4; King (2001), ch. 5; equation and ranges from memory.

    Example, by hand: 0.5 (1 - 1 / e).

    >>> t10(t10_limit=0.5, energy_scale=1.0, specific_energy=1.0).round(4)
    array([0.3161])
    """
    reached = -np.expm1(-per_case(specific_energy) / per_case(energy_scale))
    return per_case(t10_limit) * reached


def appearance(n: ArrayLike, *, fraction: ArrayLike) -> Array:
    """Fraction finer than an nth of the parent, tn = 1 - (1 - t10)^r(n).

    ln r is a monotone cubic in ln(n - 1) through the table for crushers, all but straight beyond
    its ends; between the table's t10 it is linear in t10, and held beyond them. So tn is t10 at
    n = 10, all of the mass at n = 1, and falls evenly to nothing. With ln r one straight line it
    would be the truncated Rosin-Rammler form of King (2001), ch. 5.

    Args:
        n: (k,) parent size over size, at least 1.
        fraction: (B,) t10.

    Returns:
        (B, k) tn.

    Source: Napier-Munn et al. (1996), ch. 6, default appearance function of crushers; from memory.

    Example, by hand: all pass the parent's size, and t10 a tenth of it.

    >>> appearance([1.0, 10.0], fraction=0.2).round(3)
    array([[1. , 0.2]])
    """
    below = np.asarray(n, dtype=np.float64) - 1.0
    with np.errstate(divide="ignore"):  # at the parent's own size the exponent is endless
        at = np.log(below).ravel()
    tables = np.stack([pchip(_KNOTS, row, np.clip(at, _KNOTS[0], _KNOTS[-1])) for row in _LN_R])
    chosen = np.clip(per_case(fraction), _TABLE_T10[0], _TABLE_T10[-1])
    weights = np.stack([np.interp(chosen, _TABLE_T10, row) for row in np.eye(3)], axis=1)
    exponent = np.exp(weights @ tables)
    exponent[:, np.isposinf(at)] = 0.0
    finer: Array = -np.expm1(np.log1p(-column(fraction)) * exponent)
    return finer


def _ln_r() -> tuple[Array, Array]:
    """Knots in ln(n - 1), and ln r at them for each t10 of the table. Beyond its ends all go on at
    one slope, the mean of theirs, so that no two cross."""
    inner = np.log(_TABLE_N - 1.0)
    ln_r = np.log(np.log1p(-_TABLE) / np.log1p(-_TABLE_T10)[:, np.newaxis])
    slopes = (np.diff(ln_r, axis=1) / np.diff(inner)).mean(axis=0)
    first = ln_r[:, 0] - slopes[0] * (inner[0] + _FAR)
    last = ln_r[:, -1] + slopes[-1] * (_FAR - inner[-1])
    return np.concatenate([[-_FAR], inner, [_FAR]]), np.column_stack([first, ln_r, last])


_KNOTS, _LN_R = _ln_r()


def t10_breakage_matrix(
    edges_mm: ArrayLike, *, fraction: ArrayLike, points_mm: ArrayLike | None = None
) -> Array:
    """Progeny by class of one breakage of each parent class, from its t10.

    B(x, y) is tn at n = y / x, averaged over parents across their class.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        fraction: (B,) t10.
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
    finer = appearance(ratio.ravel(), fraction=finest)
    means = finer.reshape(-1, *ratio.shape) @ weights
    return progeny(means, points_mm)


def t10_energy(
    edges_mm: ArrayLike,
    feed_t_h: ArrayLike,
    *,
    k1: ArrayLike,
    k2: ArrayLike,
    usual_f80: ArrayLike = 0.0,
    starved_rise: ArrayLike = 0.0,
    filling: ArrayLike | None = None,
    points_mm: ArrayLike | None = None,
    **chamber: ArrayLike,
) -> Array:
    """Energy that the chamber of `t10_operator` spends on a tonne of feed: that of what it breaks.

    Every breakage of a piece of size d costs E(d) = c / d + Ecs (usual_f80 / d)^0.3: small pieces
    hold fewer flaws and cost more a tonne, and a piece that breaks three times costs three times.
    Without a usual_f80 the second term is Ecs at all sizes.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        feed_t_h: (B, n) feed by class.
        k1, k2, usual_f80, starved_rise, filling, points_mm, chamber: as in `t10_operator`.

    Returns:
        (B,) kWh/t; 0 without feed.

    Raises:
        ValueError: as `t10_operator`.

    Source: a threshold in proportion to 1 / d: Vogel & Peukert (2003); toughness by size: Shi &
    Kojovic (2007); forms and figures from memory. That a chamber spends what its stroke asks for is
    common practice, no source.
    """
    edges, feed, usual = size_grid(edges_mm), by_class(feed_t_h), column(usual_f80)
    sizes = middle_sizes(edges, points_mm)
    relative = np.where(usual > 0.0, usual / sizes, 1.0)

    def spent(wider: Array) -> Array:
        breakage, classified, energy = _chamber(
            edges,
            k1=per_case(k1) * wider,
            k2=per_case(k2) * wider,
            usual_f80=usual_f80,
            points_mm=points_mm,
            **chamber,
        )
        broken = (times_broken(breakage, classified) @ feed[..., np.newaxis])[..., 0]
        each = _LEAST_KWH_T_MM / sizes + energy[:, np.newaxis] * relative**_TOUGHER_SMALL
        return over((broken * each).sum(axis=1), feed.sum(axis=1), empty=0.0)

    starved = 1.0 + per_case(starved_rise)
    return part_filled(lambda: spent(np.ones(1)), lambda: spent(starved), filling)


def _chamber(
    edges: Array,
    *,
    k1: ArrayLike,
    k2: ArrayLike,
    t10_limit: ArrayLike,
    energy_scale: ArrayLike,
    specific_energy: ArrayLike,
    k3: ArrayLike = 2.3,
    energy_response: ArrayLike = 0.0,
    usual_toughness: ArrayLike = 2.5,
    size_exponent: ArrayLike = 0.0,
    k1_feed: ArrayLike = 0.0,
    k2_feed: ArrayLike = 0.0,
    t10_feed: ArrayLike = 0.0,
    usual_f80: ArrayLike = 0.0,
    f80_mm: ArrayLike | None = None,
    rock_shares: ArrayLike | None = None,
    points_mm: ArrayLike | None = None,
) -> tuple[Array, Array, Array]:
    """Breakage B and chances C of `t10_operator`, and the mean energy (B,) of one breakage."""
    energy = energy_of_rock(
        t10_limit=t10_limit,
        energy_scale=energy_scale,
        specific_energy=specific_energy,
        energy_response=energy_response,
        usual_toughness=usual_toughness,
    )
    rock = {"t10_limit": t10_limit, "energy_scale": energy_scale}
    broken = (
        t10(**rock, specific_energy=energy)
        if rock_shares is None
        else blended_t10(**rock, specific_energy=energy, rock_shares=rock_shares)
    )
    if f80_mm is not None:
        broken = t10_of_feed(broken, t10_feed=t10_feed, usual_f80=usual_f80, f80_mm=f80_mm)
        k1, k2 = classification_sizes(
            k1=k1, k2=k2, k1_feed=k1_feed, k2_feed=k2_feed, usual_f80=usual_f80, f80_mm=f80_mm
        )
    scale = size_scale(edges, size_exponent=size_exponent, usual_f80=usual_f80, points_mm=points_mm)
    classified = chances(edges, k1=k1, k2=k2, k3=k3, scale=scale, points_mm=points_mm)
    breakage = t10_breakage_matrix(edges, fraction=broken, points_mm=points_mm)
    return breakage, classified, mean_of_rocks(energy, rock_shares)
