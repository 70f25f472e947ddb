"""Power drawn by a crusher."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, per_case

_UM_PER_MM = 1000.0


def bond_energy_kwh_t(f80_mm: ArrayLike, p80_mm: ArrayLike, work_index_kwh_t: ArrayLike) -> Array:
    """Energy to break a tonne from F80 to P80: W = 10 Wi (1/sqrt(P80) - 1/sqrt(F80)), in um.

    Args:
        f80_mm, p80_mm: (B,) 80 % passing sizes of feed and product, mm. An unbounded feed is inf.
        work_index_kwh_t: (B,) work index, kWh a metric tonne.

    Returns:
        (B,) kWh/t; 0 where the product is no finer than the feed.

    Source: Bond (1952), Bond (1961).

    Example, by hand: 150 (1 / sqrt(100) - 1 / sqrt(10,000)), sizes in um.

    >>> bond_energy_kwh_t(f80_mm=10.0, p80_mm=0.1, work_index_kwh_t=15.0)
    array([13.5])
    """
    feed_um, product_um = per_case(f80_mm) * _UM_PER_MM, per_case(p80_mm) * _UM_PER_MM
    energy = 10.0 * per_case(work_index_kwh_t) * (product_um**-0.5 - feed_um**-0.5)
    return np.maximum(energy, 0.0)


def bond_power(
    feed_t_h: ArrayLike,
    f80_mm: ArrayLike,
    p80_mm: ArrayLike,
    work_index_kwh_t: ArrayLike,
    *,
    no_load: ArrayLike = 0.0,
    efficiency: ArrayLike = 1.0,
    energy_kwh_t: ArrayLike | None = None,
) -> Array:
    """Power drawn: the empty machine's, and the energy for the feed over the efficiency.

    The energy is that of what is broken where the breakage model knows it, else Bond's.

    Args:
        feed_t_h: (B,) feed, t/h.
        f80_mm, p80_mm: (B,) 80 % passing sizes, mm; ignored where there is no feed.
        work_index_kwh_t: (B,) work index, kWh a metric tonne.
        no_load: (B,) power of the empty machine, kW.
        efficiency: (B,) share of the added power that breaks rock.
        energy_kwh_t: (B,) energy that the breakage model finds, kWh a tonne of feed.

    Returns:
        (B,) kW.

    Source: Bond (1952), Bond (1961).

    Example, by hand: 40 kW empty, and 100 x 0.5 / 0.8 kW for the rock.

    >>> bond_power(100.0, 80.0, 30.0, 15.0, no_load=40.0, efficiency=0.8, energy_kwh_t=0.5)
    array([102.5])
    """
    feed = per_case(feed_t_h)
    if energy_kwh_t is None:
        energy_kwh_t = bond_energy_kwh_t(f80_mm, p80_mm, work_index_kwh_t)
    energy = np.where(feed > 0.0, energy_kwh_t, 0.0)
    return per_case(no_load) + feed * energy / per_case(efficiency)
