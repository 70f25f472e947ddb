"""How a crusher's breakage follows the feed it gets: linear regressions on the feed's F80.

A coarser feed is higher in the chamber and leaves it coarser: K1 and K2 of the classification
rise with F80, and t10 moves with it. Published regressions have the form

    K1 = A0 + A1 css + A2 F80 + ...,  K2 = B0 + B1 css + B2 F80 + ...,  t10 = C0 + C1 css + C2 F80

in which what belongs to the setting is here the class's own k1, k2 and t10, and F80 is counted
from the one these are stated for. Their coefficients belong to the machine that was measured.

Source: Whiten (1972); Napier-Munn et al. (1996), ch. 6; the form, from memory.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, per_case

# Far from the feeds a regression was fitted to its line runs below nothing, or the two sizes
# cross. It is held at these shares; common practice, no source.
LEAST_K1 = 0.1  # of the class's k1
LEAST_SPAN = 0.1  # of the class's k2 - k1
LEAST_T10, MOST_T10 = 0.01, 0.95


def classification_sizes(
    *,
    k1: ArrayLike,
    k2: ArrayLike,
    k1_feed: ArrayLike,
    k2_feed: ArrayLike,
    usual_f80: ArrayLike,
    f80_mm: ArrayLike,
) -> tuple[Array, Array]:
    """K1 and K2 of a crusher under the feed it has.

    K1 = k1 + k1_feed (F80 - usual), no less than a tenth of k1; K2 alike, and no nearer to K1 than
    a tenth of k2 - k1.

    Args:
        k1, k2: (B,) mm, at the usual feed; k2 above k1.
        k1_feed, k2_feed: (B,) mm a mm of F80.
        usual_f80: (B,) mm, F80 that k1 and k2 belong to; 0 for a regression on F80 itself.
        f80_mm: (B,) size that 80 % of the crusher's own feed passes, mm.

    Returns:
        (B,) K1 and (B,) K2, mm. With coefficients of 0 they are k1 and k2 to the last bit.

    Valid range: that of the feeds the coefficients were fitted to.
    Source: Napier-Munn et al. (1996), ch. 6; the form, from memory.

    Example, by hand: F80 is 50 mm coarser than usual: 20 + 0.02 x 50, 60 + 0.1 x 50.

    >>> classification_sizes(
    ...     k1=20.0, k2=60.0, k1_feed=0.02, k2_feed=0.1, usual_f80=100.0, f80_mm=150.0
    ... )
    (array([21.]), array([65.]))
    """
    smallest, largest = per_case(k1), per_case(k2)
    beyond = per_case(f80_mm) - per_case(usual_f80)
    lower = np.maximum(smallest + per_case(k1_feed) * beyond, LEAST_K1 * smallest)
    least = lower + LEAST_SPAN * (largest - smallest)
    upper = np.maximum(largest + per_case(k2_feed) * beyond, least)
    return lower, upper


def mean_of_rocks(value: ArrayLike, rock_shares: ArrayLike | None) -> Array:
    """Mean by mass of a number of each rock, (B, K) to (B,); (B,) as it is without shares."""
    numbers = np.asarray(value, dtype=np.float64)
    if rock_shares is None or numbers.ndim < 2:
        return per_case(numbers)
    shares = np.atleast_2d(np.asarray(rock_shares, dtype=np.float64))
    mean: Array = (shares * numbers).sum(axis=-1) / shares.sum(axis=-1)
    return mean


def rock_scale(hardness: ArrayLike, *, rock_exponent: ArrayLike) -> Array:
    """By how much a harder rock moves K1 and K2 to coarser sizes: hardness^e.

    A chamber squeezes by its stroke, so a harder rock mostly costs power; it still leaves somewhat
    coarser, as more of it gives way between the strokes and the liners. Hard against soft rock
    makes some ten points at the setting.

    Args:
        hardness: (B,) of the rock over that of the usual rock, by work index.
        rock_exponent: (B,) e; 0 for no effect.

    Returns:
        (B,) factor; hardness is held between a quarter and 4.

    Source: common practice, no source, for the form and the size of the effect.
    """
    held = np.clip(per_case(hardness), 0.25, 4.0)
    scale: Array = held ** per_case(rock_exponent)
    return scale


def energy_of_rock(
    *,
    t10_limit: ArrayLike,
    energy_scale: ArrayLike,
    specific_energy: ArrayLike,
    energy_response: ArrayLike,
    usual_toughness: ArrayLike,
) -> Array:
    """Energy of one breakage in a chamber: Ecs (toughness / usual)^r, toughness = 1 / (A b).

    1 / (A b) is the energy a tonne for a unit of t10 at low energy. With r = 0 all rock is given
    the same energy, so that a tough one hardly breaks; with r = 1 all rock is broken nearly as
    finely, and a tough one costs more. A chamber that squeezes by its stroke is near the second.

    Args:
        t10_limit, energy_scale: (B,) or (B, K) A, and 1 / b in kWh/t.
        specific_energy: (B,) Ecs, kWh/t, on rock of the usual toughness.
        energy_response: (B,) r, 0 to 1.
        usual_toughness: (B,) 1 / (A b) of that rock, kWh/t.

    Returns:
        (B,) or (B, K), kWh/t. The toughness is held between a tenth and 10 of the usual.

    Source: A b as the measure of a rock: Napier-Munn et al. (1996), ch. 4, from memory; the
    response is common practice, no source.
    """
    limit, scale = per_case(t10_limit), per_case(energy_scale)
    energy, response, usual = map(per_case, (specific_energy, energy_response, usual_toughness))
    if limit.ndim == 2 or scale.ndim == 2:
        limit, scale = (v if v.ndim == 2 else v[:, np.newaxis] for v in (limit, scale))
        energy, response, usual = (v[:, np.newaxis] for v in (energy, response, usual))
    tougher = np.clip(scale / limit / usual, 0.1, 10.0)
    asked: Array = energy * tougher**response
    return asked


def t10_of_feed(
    t10: ArrayLike, *, t10_feed: ArrayLike, usual_f80: ArrayLike, f80_mm: ArrayLike
) -> Array:
    """t10 + t10_feed (F80 / usual - 1), between 1 % and 95 %.

    Args:
        t10: (B,) fraction, at the usual feed.
        t10_feed: (B,) added to t10 by a feed of twice the usual F80; below 0 where a coarser feed
            leaves each breakage less energy.
        usual_f80: (B,) mm; above 0 where t10_feed is not 0.
        f80_mm: (B,) of the crusher's own feed, mm.

    Returns:
        (B,) fraction. With a coefficient of 0 it is t10 to the last bit.

    Raises:
        ValueError: if t10_feed is not 0 and usual_f80 not above 0.

    Valid range: that of the feeds the coefficient was fitted to.
    Source: Napier-Munn et al. (1996), ch. 6; linear in F80, from memory; the scaling by the usual
    F80 is ours, so that the coefficient is a pure number.

    Example, by hand: 0.3 - 0.05 x (1.5 - 1).

    >>> t10_of_feed(0.3, t10_feed=-0.05, usual_f80=100.0, f80_mm=150.0).round(4)
    array([0.275])
    """
    plain, slope, usual = np.broadcast_arrays(
        per_case(t10), per_case(t10_feed), per_case(usual_f80)
    )
    if np.any((slope != 0.0) & (usual <= 0.0)):
        raise ValueError("t10_feed needs a usual_f80 above 0")
    scale = np.where(usual > 0.0, usual, 1.0)
    moved = np.clip(plain + slope * (per_case(f80_mm) / scale - 1.0), LEAST_T10, MOST_T10)
    return np.where(slope == 0.0, plain, moved)


def blended_t10(
    *,
    t10_limit: ArrayLike,
    energy_scale: ArrayLike,
    specific_energy: ArrayLike,
    rock_shares: ArrayLike,
) -> Array:
    """t10 of a blend of rocks, each broken with the same specific energy.

    Of a blend the mass finer than a tenth is the sum of that of its rocks: t10 is the mean of
    theirs by mass. That the rocks share out the energy by mass, and that one t10 then stands for
    all sizes of the blend, is common practice, no source.

    Args:
        t10_limit, energy_scale: (B, K) A, and 1 / b in kWh/t, of each rock, or (B,) of all.
        specific_energy: (B,) Ecs, kWh/t.
        rock_shares: (B, K) mass fraction of each rock in the crusher's feed.

    Returns:
        (B,) fraction.

    Source: t10 of a rock: Napier-Munn et al. (1996), ch. 4, from memory.
    """
    limit, scale, energy = (
        v if v.ndim == 2 else v[:, np.newaxis]
        for v in map(per_case, (t10_limit, energy_scale, specific_energy))
    )
    of_rock = limit * -np.expm1(-energy / scale)
    shares = np.atleast_2d(np.asarray(rock_shares, dtype=np.float64))
    result: Array = (shares * of_rock).sum(axis=-1) / shares.sum(axis=-1)
    return result
