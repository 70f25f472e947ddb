"""Metal worn off a crusher, from the rock's abrasion index and the energy that breaks it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, per_case

_GRAMS_PER_POUND = 453.59237


def chamber_wear_g_kwh(abrasion_index: ArrayLike) -> Array:
    """Liner metal worn off a jaw, gyratory or cone crusher: (Ai + 0.22) / 11 lb/kWh.

    Args:
        abrasion_index: (B,) Bond's abrasion index Ai, a pure number; 0.02 to 0.9 for the rocks
            the law was fitted to.

    Returns:
        (B,) grams of metal per kWh of net breaking energy.

    Raises:
        ValueError: if an index is below nothing.

    Source: Bond (1963), from memory.

    Example, by hand: (0.11 + 0.22) / 11 is 0.03 lb.

    >>> chamber_wear_g_kwh(0.11).round(2)
    array([13.61])
    """
    return (_index(abrasion_index) + 0.22) / 11 * _GRAMS_PER_POUND


def roll_wear_g_kwh(abrasion_index: ArrayLike) -> Array:
    """Shell metal worn off a roll crusher: (Ai / 10)^(2/3) lb/kWh.

    Args, returns and errors as for `chamber_wear_g_kwh`.

    Source: Bond (1963), from memory.

    Example, by hand: 0.008^(2/3) is 0.04 lb.

    >>> roll_wear_g_kwh(0.08).round(2)
    array([18.14])
    """
    return np.power(_index(abrasion_index) / 10, 2 / 3) * _GRAMS_PER_POUND


def impact_wear_g_kwh(abrasion_index: ArrayLike, *, rate: ArrayLike) -> Array:
    """Metal worn off the parts that strike rock, or that rock strikes: rate x Ai.

    Hard particles erode metal in proportion to their kinetic energy, so the kWh are those that the
    rotor gives the rock.

    What is not listed is as for `chamber_wear_g_kwh`.

    Args:
        rate: (B,) g/kWh, that of rock of index 1, by parts and alloy.

    Source: Finnie (1960) for the energy, from memory; in proportion to Ai: common practice, no
    source.
    """
    return _index(abrasion_index) * per_case(rate)


def liner_life_h(wearing_mass_t: ArrayLike, wear_g_t: ArrayLike, feed_t_h: ArrayLike) -> Array:
    """Hours until the metal that may wear off a set of liners is gone, worn evenly.

    Args:
        wearing_mass_t: (B,) metal that may wear off, t.
        wear_g_t: (B,) metal worn a tonne of feed, g/t.
        feed_t_h: (B,) feed, t/h.

    Returns:
        (B,) hours; inf where nothing wears.

    Source: conservation of mass.

    Example, by hand: 1,200,000 g at 10 x 300 g an hour.

    >>> liner_life_h(wearing_mass_t=1.2, wear_g_t=10.0, feed_t_h=300.0)
    array([400.])
    """
    grams_an_hour = per_case(wear_g_t) * per_case(feed_t_h)
    with np.errstate(divide="ignore"):
        hours: Array = per_case(wearing_mass_t) * 1e6 / grams_an_hour
    return hours


def liner_cost_per_t(
    wear_g_t: ArrayLike, price_per_t: ArrayLike, wear_share: ArrayLike = 1.0
) -> Array:
    """Price of a liner set over the tonnes it crushes: of the set only a share wears off, but all
    of it is bought, so a tonne costs the metal worn over that share, at the metal's price.

    Args:
        wear_g_t: (B,) metal worn a tonne of feed, g/t.
        price_per_t: (B,) price of a tonne of liner metal.
        wear_share: (B,) share of a set that may wear off, above 0; 1 prices the worn metal alone.

    Returns:
        (B,) money a tonne of feed.

    Raises:
        ValueError: if a wear share is not above nothing.

    Source: arithmetic.

    Example, by hand: 10 g at 3000 a tonne, twice, as half of the set is thrown away.

    >>> liner_cost_per_t(wear_g_t=10.0, price_per_t=3000.0, wear_share=0.5)
    array([0.06])
    """
    share = per_case(wear_share)
    if np.any(share <= 0):
        raise ValueError("some share of a liner set wears off")
    return per_case(wear_g_t) * per_case(price_per_t) / share / 1e6


def _index(abrasion_index: ArrayLike) -> Array:
    index = per_case(abrasion_index)
    if np.any(index < 0):
        raise ValueError("an abrasion index must not be negative")
    return index
