"""Hydrocyclones: the pressure that drives a flow through one, and the size at which it cuts.

All lengths are inner dimensions, mm. `height` is that of the free vortex, from the end of the
vortex finder to the spigot.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, per_case
from hoggin.models.slurry import WATER_T_M3

_L_MIN_PER_M3_H = 1000.0 / 60.0
_FLOW_EXPONENT = 1.78


def plitt_pressure_kpa(
    flow_m3_h: ArrayLike,
    solids_by_volume: ArrayLike,
    *,
    diameter: ArrayLike,
    inlet: ArrayLike,
    vortex_finder: ArrayLike,
    spigot: ArrayLike,
    height: ArrayLike,
) -> Array:
    """Pressure drop: 1.88 Q^1.78 exp(0.0055 Cv) / (Dc^0.37 Di^0.94 h^0.28 (Du^2 + Do^2)^0.87).

    Q in l/min, Cv in per cent of volume, lengths in cm.

    Args:
        flow_m3_h: (B,) flow Q of slurry into one cyclone, m3/h.
        solids_by_volume: (B,) share of the flow that is rock.
        diameter, inlet, vortex_finder, spigot, height: (B,) mm: Dc, Di, Do, Du, h.

    Returns:
        (B,) kPa.

    Range: cyclones of 50 to 900 mm fed with less than about 30 % of solids by volume.

    Source: Plitt (1976), from memory.

    Example, by hand: 5000 l/min into 50 cm, without rock: 1.88 x 5000^1.78 / (50^0.37 15^0.94
    150^0.28 (10^2 + 20^2)^0.87).

    >>> plitt_pressure_kpa(
    ...     300.0, 0.0, diameter=500.0, inlet=150.0, vortex_finder=200.0, spigot=100.0,
    ...     height=1500.0,
    ... ).round(1)
    array([146.8])
    """
    return _resistance(solids_by_volume, diameter, inlet, vortex_finder, spigot, height) * (
        per_case(flow_m3_h) ** _FLOW_EXPONENT
    )


def plitt_flow_m3_h(
    pressure_kpa: ArrayLike,
    solids_by_volume: ArrayLike,
    *,
    diameter: ArrayLike,
    inlet: ArrayLike,
    vortex_finder: ArrayLike,
    spigot: ArrayLike,
    height: ArrayLike,
) -> Array:
    """Flow that a pressure drives through one cyclone, (B,) m3/h: the inverse of
    `plitt_pressure_kpa`, whose other arguments, range and source it shares."""
    resistance = _resistance(solids_by_volume, diameter, inlet, vortex_finder, spigot, height)
    flow: Array = (per_case(pressure_kpa) / resistance) ** (1.0 / _FLOW_EXPONENT)
    return flow


def plitt_cut_mm(
    flow_m3_h: ArrayLike,
    solids_by_volume: ArrayLike,
    *,
    solid_density_t_m3: ArrayLike,
    diameter: ArrayLike,
    inlet: ArrayLike,
    vortex_finder: ArrayLike,
    spigot: ArrayLike,
    height: ArrayLike,
) -> Array:
    """Corrected cut size in micrometres: 50.5 Dc^0.46 Di^0.6 Do^1.21 exp(0.063 Cv) / (Du^0.71
    h^0.38 Q^0.45 (rho_s - rho)^0.5), in the units of `plitt_pressure_kpa`.

    The arguments that are not listed, and the range, are those of `plitt_pressure_kpa`.

    Args:
        solid_density_t_m3: (B,) density rho_s of the rock, t/m3.

    Returns:
        (B,) mm; NaN where nothing flows.

    Source: Plitt (1976), from memory.
    """
    flow, solids = per_case(flow_m3_h), 100.0 * per_case(solids_by_volume)
    numerator = (
        50.5 * _cm(diameter) ** 0.46 * _cm(inlet) ** 0.6 * _cm(vortex_finder) ** 1.21
    ) * np.exp(0.063 * solids)
    denominator = (
        _cm(spigot) ** 0.71
        * _cm(height) ** 0.38
        * (np.where(flow > 0.0, flow, np.nan) * _L_MIN_PER_M3_H) ** 0.45
        * np.sqrt(per_case(solid_density_t_m3) - WATER_T_M3)
    )
    cut: Array = numerator / denominator / 1000.0
    return cut


def _resistance(
    solids_by_volume: ArrayLike,
    diameter: ArrayLike,
    inlet: ArrayLike,
    vortex_finder: ArrayLike,
    spigot: ArrayLike,
    height: ArrayLike,
) -> Array:
    """kPa over the 1.78th power of the flow in m3/h."""
    outlets = _cm(spigot) ** 2 + _cm(vortex_finder) ** 2
    passage = _cm(diameter) ** 0.37 * _cm(inlet) ** 0.94 * _cm(height) ** 0.28 * outlets**0.87
    thickened = np.exp(0.55 * per_case(solids_by_volume))
    resistance: Array = 1.88 * _L_MIN_PER_M3_H**_FLOW_EXPONENT * thickened / passage
    return resistance


def _cm(length_mm: ArrayLike) -> Array:
    return per_case(length_mm) / 10.0
