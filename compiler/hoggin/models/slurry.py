"""Rock in water: its flow and density, and the power that lifts it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, over, per_case

WATER_T_M3 = 1.0
_GRAVITY_M_S2 = 9.80665  # standard
_SECONDS_PER_HOUR = 3600.0


def flow_m3_h(solids_t_h: ArrayLike, water_t_h: ArrayLike, solid_density_t_m3: ArrayLike) -> Array:
    """Flow of slurry: the volumes of solids and water add up.

    Args:
        solids_t_h, water_t_h: (B,) t/h.
        solid_density_t_m3: (B,) of the rock without the air between its pieces, t/m3.

    Returns:
        (B,) m3/h.

    Source: conservation of volume.

    Example, by hand: 27 t/h of rock are 10 m3/h.

    >>> flow_m3_h(27.0, water_t_h=30.0, solid_density_t_m3=2.7)
    array([40.])
    """
    solids = per_case(solids_t_h) / per_case(solid_density_t_m3)
    return solids + per_case(water_t_h) / WATER_T_M3


def density_t_m3(solids_t_h: ArrayLike, water_t_h: ArrayLike, flow_m3_h: ArrayLike) -> Array:
    """Density of slurry: its mass over its volume.

    Returns:
        (B,) t/m3; NaN where nothing flows.

    Source: conservation of mass.

    Example, by hand: 57 t in 40 m3.

    >>> density_t_m3(27.0, water_t_h=30.0, flow_m3_h=40.0)
    array([1.425])
    """
    return over(per_case(solids_t_h) + per_case(water_t_h), per_case(flow_m3_h))


def head_m(pressure_kpa: float, density_t_m3: float) -> float:
    """Column of slurry, m, that weighs as much as a pressure: p / (rho g).

    Source: hydrostatics; g by definition.

    Example, by hand: 98.0665 kPa is the pressure of 10 m of water.

    >>> round(head_m(98.0665, density_t_m3=1.0), 6)
    10.0
    """
    return pressure_kpa / (density_t_m3 * _GRAVITY_M_S2)


def hydraulic_power(
    flow_m3_h: ArrayLike, density_t_m3: ArrayLike, *, head: ArrayLike, efficiency: ArrayLike
) -> Array:
    """Power drawn by a pump: P = rho g Q H / efficiency.

    Args:
        flow_m3_h: (B,) flow Q of slurry, m3/h.
        density_t_m3: (B,) density rho of slurry, t/m3; ignored where nothing flows.
        head: (B,) head H, m of slurry.
        efficiency: (B,) of pump and drive together, above 0 to 1.

    Returns:
        (B,) kW.

    Source: hydraulics; g by definition.

    Example, by hand: 100 x 1.2 / 3600 t/s x 9.80665 x 20 / 0.6.

    >>> hydraulic_power(100.0, 1.2, head=20.0, efficiency=0.6).round(1)
    array([10.9])
    """
    flow = per_case(flow_m3_h)
    lifted_t_s = np.where(flow > 0.0, flow * per_case(density_t_m3), 0.0) / _SECONDS_PER_HOUR
    return lifted_t_s * _GRAVITY_M_S2 * per_case(head) / per_case(efficiency)
