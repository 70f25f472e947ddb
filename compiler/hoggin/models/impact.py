"""Breakage by a rotor's impact: an operator as in `breakage`, and the energy the rotor gives.

Both read the same coefficients, so no rock is broken with energy that the shaft does not draw.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, by_class, class_sizes, column, over, per_case, size_grid
from hoggin.models.chamber import part_filled, times_broken
from hoggin.models.points import Band, Fineness
from hoggin.models.two_term import TwoTerm, repeated_two_term, two_term

_WIDTH = 0.18  # log size of a class where the chance of breakage changes
_KJ_PER_KWH = 3600.0
_MOST_FINES = 0.95  # share of the progeny in the fines term, however much energy


def impact_operator(
    edges_mm: ArrayLike,
    *,
    tip_speed: ArrayLike,
    d_min: ArrayLike,
    d50: ArrayLike,
    reference_speed: ArrayLike = 35.0,
    energy_factor: ArrayLike = 0.5,
    struck_again: ArrayLike = 1.0,
    cascade: ArrayLike = 0.0,
    cascade_energy: ArrayLike = 0.1,
    crowding: ArrayLike = 0.0,
    filling: ArrayLike | None = None,
    points_mm: ArrayLike | None = None,
    sharpness: ArrayLike = 1.0,
    energy_exponent: ArrayLike = 0.5,
    fines_energy: ArrayLike = 0.0,
    fines_share: ArrayLike = 0.2,
    fines_exponent: ArrayLike = 0.5,
    coarse_exponent: ArrayLike = 2.5,
) -> Array:
    """Impactor product as an operator, finer as the rotor turns faster.

    The chance of breakage is C(d) = 1 - exp(-((d - dmin) / d50)^k) above dmin. Both sizes fall as
    (E0 / E)^n, and the share of fines rises as (E / E0)^m, with the energy of an impact E =
    energy_factor v^2 a kilogram: 0.5 for a horizontal shaft, 1 for a vertical one, whose rock
    leaves with the tip's speed along the rim and as much outwards. The reference E0 is that of a
    horizontal shaft at `reference_speed`. Broken rock is struck again, as in `whiten_operator`.

    In a full rotor rock lies in rock's way, and takes a share of an impact's energy (`crowding`);
    in a sparsely fed one all of it breaks. In between both are mixed, as by `chamber.part_filled`.

    A share of the feed may fall around the rotor (`cascade`): only thrown rock strikes it, with a
    share of the energy.

    Args:
        edges_mm: (n + 1,) class limits, mm, strictly falling to 0.
        tip_speed, reference_speed: (B,) m/s.
        d_min, d50: (B,) mm, at the reference energy.
        energy_factor: (B,) energy of an impact over the tip speed squared.
        struck_again: not used: `impact_energy` reads it.
        cascade: (B,) share of the feed that falls around the rotor, below 1.
        cascade_energy: (B,) energy of an impact there over that of an impact of thrown rock.
        crowding: (B,) share of an impact's energy that breaks nothing in a full rotor, below 1.
        filling: (B,) as in `chamber.part_filled`; without it the rotor is full.
        points_mm: (n,) mm, the size that stands for each class, as in `points`; without it the
            class is averaged.
        sharpness, energy_exponent, fines_energy: (B,) k, n and m.
        fines_share, fines_exponent, coarse_exponent: (B,) of `breakage.breakage_matrix`; the share
            is that at the reference energy, and never over 0.95 at another.

    Returns:
        (B, n, n) operator.

    Raises:
        ValueError: if the edges do not fall to 0.

    Source: Nikolov (2002), Nikolov (2004): that dmin and the share of fines follow the energy was
    looked up, form and constants are from memory. The cascade: common practice, no source.
    """
    del struck_again
    rock = {
        "d_min": d_min,
        "d50": d50,
        "sharpness": sharpness,
        "energy_exponent": energy_exponent,
        "fines_energy": fines_energy,
        "fines_share": fines_share,
        "fines_exponent": fines_exponent,
        "coarse_exponent": coarse_exponent,
    }
    energy = _relative_energy(tip_speed, reference_speed, energy_factor)
    around = per_case(cascade)

    def product(breaking: Array) -> Array:
        thrown = repeated_two_term(*_struck(edges_mm, breaking, points_mm, **rock))
        if not around.any():
            return thrown
        beside = _struck(edges_mm, breaking * per_case(cascade_energy), points_mm, **rock)
        share = around[:, np.newaxis, np.newaxis]
        mixed: Array = (1.0 - share) * thrown + share * repeated_two_term(*beside)
        return mixed

    crowded = energy * (1.0 - per_case(crowding))
    return part_filled(lambda: product(crowded), lambda: product(energy), filling)


def impact_energy(
    edges_mm: ArrayLike,
    feed_t_h: ArrayLike,
    *,
    tip_speed: ArrayLike,
    reference_speed: ArrayLike = 35.0,
    energy_factor: ArrayLike = 0.5,
    struck_again: ArrayLike = 1.0,
    cascade: ArrayLike = 0.0,
    cascade_energy: ArrayLike = 0.1,
    crowding: ArrayLike = 0.0,
    filling: ArrayLike | None = None,
    points_mm: ArrayLike | None = None,
    **rock: ArrayLike,
) -> Array:
    """Energy that the shaft gives a tonne of feed: that of each impact that it pays for.

    All that meets the rotor takes the energy of one impact, whether it breaks or not. What is
    broken may be struck again by rotor and aprons, as around a horizontal shaft (`struck_again`
    1), or only by other rock that still moves, as around a vertical one (0). A blow bar that
    strikes rock at rest does the work m v^2 (momentum: the bar keeps its speed): half in this
    impact, half in the next, on an apron. A vertical shaft does m v^2 by Euler's equation of
    turbomachines.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        feed_t_h: (B, n) feed by class.
        struck_again: (B,) share of the impacts after the first that the shaft pays for.
        cascade_energy: not used: it comes from thrown rock.
        rock: the other arguments of `impact_operator`.

    Returns:
        (B,) kWh/t; 0 without feed.

    Raises:
        ValueError: as `impact_operator`.

    Source: conservation of energy and of momentum; Euler (1754), from memory.

    Example, by hand: a vertical shaft gives a tonne 1000 kg x (60 m/s)^2 = 3600 kJ.

    >>> impact_energy(
    ...     [40.0, 20.0, 0.0], [[50.0, 50.0]], tip_speed=60.0, energy_factor=1.0, struck_again=0.0,
    ...     d_min=5.0, d50=20.0,
    ... )
    array([1.])
    """
    del cascade_energy
    feed = by_class(feed_t_h)
    energy = _relative_energy(tip_speed, reference_speed, energy_factor)
    one_kwh_t = per_case(energy_factor) * per_case(tip_speed) ** 2 / _KJ_PER_KWH
    thrown = 1.0 - per_case(cascade)

    def given(breaking: Array) -> Array:
        """What the shaft gives, all of each impact, whatever share of it breaks."""
        breakage, chances = _struck(edges_mm, breaking, points_mm, **rock)
        broken = times_broken(breakage.matrix(), chances) @ feed[..., np.newaxis]
        a_tonne = over(broken.sum(axis=(1, 2)), feed.sum(axis=1), empty=0.0)
        each: Array = thrown * one_kwh_t * (1.0 + per_case(struck_again) * a_tonne)
        return np.where(feed.sum(axis=1) > 0.0, each, 0.0)

    crowded = energy * (1.0 - per_case(crowding))
    return part_filled(lambda: given(crowded), lambda: given(energy), filling)


def impact_fineness(
    *,
    tip_speed: float,
    reference_speed: float,
    d_min: float,
    d50: float,
    energy_factor: float,
    energy_exponent: float,
    cascade: float,
    cascade_energy: float,
    crowding: float,
) -> Fineness:
    """Classes for `impact_operator`: the chance of breakage bends at dmin, that of a sparsely fed
    rotor, of a full one, and of what falls around each."""
    energy = float(_relative_energy(tip_speed, reference_speed, energy_factor)[0])
    weaker = [1.0, *([1.0 - crowding] if crowding else [])]
    beside = [1.0, *([cascade_energy] if cascade else [])]
    impacts = sorted((energy * w * b for w in weaker for b in beside), reverse=True)
    shrinks = [impact**-energy_exponent for impact in impacts]
    smallest = tuple(d_min * shrink for shrink in shrinks)
    band = Band(smallest[0], (d_min + 3.0 * d50) * shrinks[-1], _WIDTH)
    return Fineness(smallest, (band,), smallest[:1])


def _relative_energy(
    tip_speed: ArrayLike, reference_speed: ArrayLike, energy_factor: ArrayLike
) -> Array:
    """E / E0, (B,)."""
    faster = per_case(tip_speed) / per_case(reference_speed)
    return np.asarray(2.0 * per_case(energy_factor) * faster**2)


def _struck(
    edges_mm: ArrayLike,
    energy: Array,
    points_mm: ArrayLike | None,
    *,
    d_min: ArrayLike,
    d50: ArrayLike,
    sharpness: ArrayLike = 1.0,
    energy_exponent: ArrayLike = 0.5,
    fines_energy: ArrayLike = 0.0,
    fines_share: ArrayLike = 0.2,
    fines_exponent: ArrayLike = 0.5,
    coarse_exponent: ArrayLike = 2.5,
) -> tuple[TwoTerm, Array]:
    """Breakage and chances (B, n) of what is struck with an energy (B,), E / E0."""
    edges = size_grid(edges_mm)
    shrink = column(energy) ** -column(energy_exponent)
    smallest, scale, shape = column(d_min) * shrink, column(d50) * shrink, column(sharpness)
    sizes, weights = class_sizes(edges, points_mm)
    above = np.maximum(sizes - smallest[..., np.newaxis], 0.0)
    chance = 1.0 - np.exp(-((above / scale[..., np.newaxis]) ** shape[..., np.newaxis]))
    mean = chance @ weights
    mean[:, -1] = 0.0
    stated, response = per_case(fines_share), per_case(fines_energy)
    finer = np.minimum(stated * energy**response, np.maximum(stated, _MOST_FINES))
    breakage = two_term(
        edges,
        fines_share=finer,
        fines_exponent=fines_exponent,
        coarse_exponent=coarse_exponent,
        points_mm=points_mm,
    )
    return breakage, mean
