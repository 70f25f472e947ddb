"""Particle shape: the flaky share of each size class, how it is made, mixed, sorted and measured.

A particle is flaky when it passes slots half as wide as the upper sieve of its fraction, so when it
is thinner than about half its size; the flakiness index is the mass share of such particles
(EN 933-3). It is flat and elongated when its length is more than a stated number of times its
thickness (ASTM D4791, from memory). No published relation between the two shares is known to us, so
neither is derived from the other: each is carried on its own, by the same rules. What is said below
of flaky rock holds of flat and elongated rock as well; for that, too, the trends near the setting
are taken as common practice, and no figure is published that we know of.

All of it is a tendency between settings and circuits, not a forecast of a laboratory's figure.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, by_class, column, over, per_case, share_below, size_grid

COVERED_MM = (4.0, 100.0)
"""Sizes the flakiness index is measured on. Source: EN 933-3:2012, from memory (1997: to 80 mm)."""

FRACTIONS_MM = (
    *(100.0, 80.0, 63.0, 50.0, 40.0, 31.5, 25.0, 20.0),
    *(16.0, 12.5, 10.0, 8.0, 6.3, 5.0, 4.0),
)
"""Limits of the sieve fractions it is measured in. Source: EN 933-3:2012, from memory."""

FLAKY_CUT_RATIO = 1.25
"""Cut size of a slotted deck for flaky rock over that for other rock. On edge a flaky piece, under
half as thick as its sieve size, passes a slot that holds a cubical one of that size; but few pieces
find the slot on edge. Common practice that slots let flakes through; the figure has no source.

Flat and elongated rock is sorted alike: a piece L long and T thick with L / T > 5 is under half as
thick as its sieve size D (T < D / 2) wherever L < 2.5 D, so it is flaky too unless it is a long
rod. Counted from a lower ratio some pieces are thicker, and the sorting is an upper estimate."""

ELONGATION_COVERED_MM = (4.75, 100.0)
"""Sizes flat and elongated pieces are counted on: coarser than the No. 4 sieve, the lower of the
two limits in use (No. 4, 9.5 mm). Source: ASTM D4791, from memory; the upper end is ours."""

ELONGATION_FRACTIONS_MM = (100.0, 75.0, 50.0, 37.5, 25.0, 19.0, 12.5, 9.5, 4.75)
"""Limits of the sieve fractions they are counted in: sieves of ASTM E11, from memory."""


def near_setting_share(
    edges_mm: ArrayLike,
    f80_mm: ArrayLike,
    p80_mm: ArrayLike,
    *,
    css: ArrayLike,
    best: ArrayLike,
    rise_finer: ArrayLike = 0.04,
    rise_coarser: ArrayLike = 0.10,
    most: ArrayLike = 0.5,
    usual_ratio: ArrayLike = 3.0,
    ratio_exponent: ArrayLike = 0.3,
    speed_ratio: ArrayLike = 1.0,
    speed_exponent: ArrayLike = 0.5,
    starved_rise: ArrayLike = 0.0,
    filling: ArrayLike = 1.0,
) -> Array:
    """Flaky share of freshly broken rock: best near the setting, worse finer and coarser.

    phi(x) = (best + starved_rise (1 - filling)) (R / R0)^a s^-b + rise |log2(x / css)|, never over
    `most`, with the reduction
    ratio R = F80 / P80 (not under 1), R0 the usual one, s the speed over the usual speed, and one
    rise below the setting, another above. x is a class's middle in log size; of the last class
    half its upper limit. Without feed R is taken as R0.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        f80_mm, p80_mm: (B,) of the crusher's feed and product, mm; nan where nothing flows.
        css: (B,) closed side setting, or the gap of an impactor, mm.
        best: (B,) flaky share at the setting, at usual reduction ratio and speed.
        rise_finer, rise_coarser: (B,) added by each halving, each doubling of size.
        most: (B,) upper limit of the flaky share.
        usual_ratio: (B,) R0, above 0. ratio_exponent: (B,) a.
        speed_ratio: (B,) s, above 0. speed_exponent: (B,) b.
        starved_rise: (B,) added in a starved chamber. filling: (B,) as in
            `chamber.filling_under`.

    Returns:
        (B, n) flaky share, 0 to `most`.

    Raises:
        ValueError: if the edges do not fall to 0, or css, usual_ratio or speed_ratio are not
            above 0.

    Source: the trends (best near the css, worse with a longer reduction step) are those of
    Bengtsson & Evertsson (2006), Int. J. Mineral Processing 79, 49-60, from memory, whose own
    regression is not used; the form and its figures are common practice, no source.
    """
    edges = size_grid(edges_mm)
    setting, usual, speed = column(css), column(usual_ratio), column(speed_ratio)
    if np.any(setting <= 0.0) or np.any(usual <= 0.0) or np.any(speed <= 0.0):
        raise ValueError("css, usual_ratio and speed_ratio must be above 0")
    ratio = column(f80_mm) / column(p80_mm)
    ratio = np.where(np.isnan(ratio), usual, np.maximum(ratio, 1.0))
    as_fed = column(best) + column(starved_rise) * (1.0 - column(filling))
    at_setting = (
        as_fed * (ratio / usual) ** column(ratio_exponent) * speed ** -column(speed_exponent)
    )
    doublings = np.log2(_middles(edges) / setting)
    away = np.where(doublings < 0.0, -column(rise_finer), column(rise_coarser)) * doublings
    share: Array = np.minimum(at_setting + away, column(most))
    return share


def even_share(
    edges_mm: ArrayLike,
    *,
    share: ArrayLike,
    speed_ratio: ArrayLike = 1.0,
    speed_exponent: ArrayLike = 0.5,
) -> Array:
    """Flaky share of freshly broken rock, the same in every size: phi = share s^-b.

    For rock broken by rock at speed, where no setting stands out among the sizes.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        share: (B,) flaky share at the usual speed.
        speed_ratio: (B,) s, speed over the usual speed, above 0. speed_exponent: (B,) b.

    Returns:
        (B, n) flaky share, 0 to 1.

    Raises:
        ValueError: if the edges do not fall to 0, or speed_ratio is not above 0.

    Source: common practice, no source.

    Example, by hand: at four times the speed, 0.1 / sqrt(4).

    >>> even_share([16.0, 8.0, 0.0], share=0.1, speed_ratio=4.0)
    array([[0.05, 0.05]])
    """
    classes = size_grid(edges_mm).size - 1
    if np.any(per_case(speed_ratio) <= 0.0):
        raise ValueError("speed_ratio must be above 0")
    flaky = column(share) * column(speed_ratio) ** -column(speed_exponent)
    return np.clip(flaky, 0.0, 1.0) * np.ones((1, classes))


def class_flakiness(edges_mm: ArrayLike, sizes_mm: ArrayLike, flakiness: ArrayLike) -> Array:
    """Flaky share by class of rock measured at some sizes: linear in log size, flat beyond them.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        sizes_mm, flakiness: (p,) sizes, mm, and the flaky share there, in any order.

    Returns:
        (n,) flaky share.

    Raises:
        ValueError: if the edges do not fall to 0.

    Source: interpolation, no physics.
    """
    sizes, shares = np.atleast_1d(sizes_mm), np.atleast_1d(flakiness)
    order = np.argsort(sizes)
    middles = _middles(size_grid(edges_mm))
    found: Array = np.interp(np.log(middles), np.log(sizes[order]), shares[order])
    return found


def _middles(edges_mm: Array) -> Array:
    """A class's middle in log size, (n,) mm; of the last class half its upper limit."""
    upper, lower = edges_mm[:-1], edges_mm[1:]
    return np.sqrt(upper * np.where(lower > 0.0, lower, 0.25 * upper))


def crushed(
    feed_t_h: ArrayLike, unbroken: ArrayLike, product_t_h: ArrayLike, fresh: ArrayLike
) -> tuple[Array, Array]:
    """What a crusher does to flaky rock: out = kept x in + made, class by class.

    Of a class's feed x the share M_ii leaves in its class with the shape it came with; the rest of
    the class's product p, the share 1 - M_ii x / p, is newly broken and has the fresh flakiness.

    Args:
        feed_t_h, product_t_h: (B, n) mass by class in and out, t/h.
        unbroken: (1 or B, n) diagonal of the breakage operator.
        fresh: (1 or B, n) flaky share of freshly broken rock.

    Returns:
        kept: (B, n) share of the flaky feed that leaves flaky in its class.
        made: (B, n) flaky rock newly made, t/h.

    Raises:
        nothing.

    Source: mass balance of one class; that unbroken rock keeps its shape is taken for granted.
    """
    feed, product = by_class(feed_t_h), by_class(product_t_h)
    passed = np.minimum(by_class(unbroken) * feed, product)
    return over(passed, feed, empty=0.0), (product - passed) * by_class(fresh)


def flaky_undersize(undersize: ArrayLike, flaky: ArrayLike, advantage: ArrayLike) -> Array:
    """Share of the flaky rock that falls through a deck that prefers it.

    Flaky and other rock fall through as `advantage` r to 1, scaled so that of both together the
    share u falls through that the mass balance says: u_flaky = r u / (1 + phi (r - 1)).

    Args:
        undersize: (B, n) share u of a class that falls through, 0 to 1.
        flaky: (B, n) flaky share phi of the class on the deck, 0 to 1.
        advantage: (B, n) r, at least 1 and at most 1 / u.

    Returns:
        (B, n) share of the flaky rock, u to 1.

    Raises:
        nothing.

    Source: mass balance of one class.

    Example, by hand: 2 x 0.3 / (1 + 0.25).

    >>> flaky_undersize([0.3], [0.25], [2.0]).round(3)
    array([[0.48]])
    """
    u, phi, r = (by_class(value) for value in (undersize, flaky, advantage))
    return np.minimum(r * u / (1.0 + phi * (r - 1.0)), 1.0)


def flakiness_index(
    edges_mm: ArrayLike,
    mass: ArrayLike,
    flaky: ArrayLike,
    low_mm: float = COVERED_MM[0],
    high_mm: float = COVERED_MM[1],
) -> Array:
    """Flaky mass over mass, of the sizes between two sieves: FI = 100 M2 / M1 as a fraction.

    Within a class mass and flaky mass are spread alike, evenly over log size.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        mass, flaky: (B, n) mass and flaky mass by class.
        low_mm, high_mm: sieves; by default the sizes EN 933-3 covers.

    Returns:
        (B,) fraction; nan where there is no mass between the sieves.

    Raises:
        ValueError: if the edges do not fall to 0.

    Source: EN 933-3, definition of the overall flakiness index; from memory.

    Example, by hand: 6 t and 10 t of 100 t are flaky.

    >>> flakiness_index([16.0, 8.0, 4.0, 0.0], [60.0, 40.0, 0.0], [6.0, 10.0, 0.0]).round(3)
    array([0.16])
    """
    passing_bars = measured_mass(edges_mm, flaky, low_mm, high_mm)
    return over(passing_bars, measured_mass(edges_mm, mass, low_mm, high_mm))


def measured_mass(
    edges_mm: ArrayLike,
    mass: ArrayLike,
    low_mm: float = COVERED_MM[0],
    high_mm: float = COVERED_MM[1],
) -> Array:
    """Mass between two sieves, evenly spread over log size within a class.

    Args:
        edges_mm: (n + 1,) class limits, mm. mass: (B, n) by class.
        low_mm, high_mm: sieves; by default the sizes EN 933-3 covers.

    Returns:
        (B,) mass.

    Raises:
        ValueError: if the edges do not fall to 0.

    Source: definition.
    """
    edges = size_grid(edges_mm)
    within = share_below(edges, high_mm) - share_below(edges, low_mm)
    measured: Array = (by_class(mass) * within).sum(axis=1)
    return measured
