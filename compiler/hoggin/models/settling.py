"""How fast grains sink in water, and which size the rising water of a pool carries away."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, over, per_case
from hoggin.models.slurry import WATER_T_M3

WATER_VISCOSITY_M2_S = 1.0e-6  # kinematic, at 20 degrees
_GRAVITY_M_S2 = 9.80665  # standard
_STOKES, _GRAIN_DRAG = 18.0, 1.0  # C1, and C2 of natural grains by sieve size

_FINEST_MM, _COARSEST_MM, _HALVINGS = 1e-4, 1e3, 50


def settling_speed_m_s(
    size_mm: ArrayLike, *, solid_density_t_m3: ArrayLike, solids_by_volume: ArrayLike = 0.0
) -> Array:
    """Speed at which grains sink in water at 20 degrees.

    Alone w = R g d^2 / (C1 nu + sqrt(0.75 C2 R g d^3)): Stokes' law for fine grains and a constant
    drag for coarse ones. Among others w (1 - c)^n, where n falls from 4.65 to 2.39 as the grain's
    Reynolds number rises.

    Args:
        size_mm: (B,) sieve size d, mm.
        solid_density_t_m3: (B,) density of the rock, t/m3; R is its excess over that of water.
        solids_by_volume: (B,) share c of the slurry's volume that is rock.

    Returns:
        (B,) m/s.

    Range: sizes from clay to gravel; c up to about 0.4. Laws of natural grains differ by a fifth.

    Source: Ferguson & Church (2004); Richardson & Zaki (1954) for n. Both from memory.

    Example, by hand: 0.01 mm sinks by Stokes' law at 1.65 x 9.80665 x 0.00001^2 / (18 x 0.000001)
    m/s = 0.0899 mm/s; the drag takes 0.6 % of it.

    >>> (1000.0 * settling_speed_m_s(0.01, solid_density_t_m3=2.65)).round(4)
    array([0.0893])
    """
    size_m = per_case(size_mm) / 1000.0
    excess = (per_case(solid_density_t_m3) / WATER_T_M3 - 1.0) * _GRAVITY_M_S2
    drag = _STOKES * WATER_VISCOSITY_M2_S + np.sqrt(0.75 * _GRAIN_DRAG * excess * size_m**3)
    alone = excess * size_m**2 / drag
    reynolds = np.maximum(alone * size_m / WATER_VISCOSITY_M2_S, 1e-9)
    exponent = np.clip(4.45 * reynolds**-0.1, 2.39, 4.65)
    hindered: Array = alone * (1.0 - per_case(solids_by_volume)) ** exponent
    return hindered


def settled_size_mm(
    rise_m_s: ArrayLike, *, solid_density_t_m3: ArrayLike, solids_by_volume: ArrayLike = 0.0
) -> Array:
    """Size of the grain that sinks as fast as the water rises: finer ones leave with it.

    Args:
        rise_m_s: (B,) speed of the rising slurry, m/s: its flow over the surface of the pool.
        solid_density_t_m3, solids_by_volume: (B,) as of `settling_speed_m_s`.

    Returns:
        (B,) mm; NaN where nothing rises.

    Source: Hazen (1904), whose ideal basin settles all that sinks faster than overflow / surface.
    """
    rise = per_case(rise_m_s)
    shape = np.broadcast_shapes(
        rise.shape, np.shape(solid_density_t_m3), np.shape(solids_by_volume)
    )
    low, high = np.full(shape, np.log(_FINEST_MM)), np.full(shape, np.log(_COARSEST_MM))
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        speed = settling_speed_m_s(
            np.exp(middle),
            solid_density_t_m3=solid_density_t_m3,
            solids_by_volume=solids_by_volume,
        )
        sinks = speed >= rise
        low, high = np.where(sinks, low, middle), np.where(sinks, middle, high)
    return np.where(rise > 0.0, np.exp(high), np.nan)


def pool_m2(
    overflow_m3_h: ArrayLike,
    size_mm: ArrayLike,
    *,
    solid_density_t_m3: ArrayLike,
    solids_by_volume: ArrayLike = 0.0,
) -> Array:
    """Surface of a pool whose overflow rises as fast as grains of a size sink.

    Args:
        overflow_m3_h: (B,) slurry that overflows, m3/h.
        size_mm: (B,) size to be settled, mm.
        solid_density_t_m3, solids_by_volume: (B,) as of `settling_speed_m_s`.

    Returns:
        (B,) m2.

    Source: Hazen (1904).
    """
    speed = settling_speed_m_s(
        size_mm, solid_density_t_m3=solid_density_t_m3, solids_by_volume=solids_by_volume
    )
    return over(per_case(overflow_m3_h) / 3600.0, speed)
