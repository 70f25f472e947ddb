"""What settles on the surface of a thickener."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, per_case
from hoggin.models.slurry import WATER_T_M3


def dilution(solids: ArrayLike) -> Array:
    """Water over dry solids by mass, of a share of solids by mass: (1 - x) / x."""
    share = per_case(solids)
    return (1.0 - share) / share


def settling_capacity(
    *,
    solid_density_t_m3: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    surface: ArrayLike,
    interface_speed: ArrayLike,
    test_solids: ArrayLike,
    underflow_solids: ArrayLike,
    share_used: ArrayLike = 1.0,
) -> Array:
    """Solids that settle to the underflow: G = A R rho / (F - D), of one settling test.

    Solids that come down with F tonnes of water a tonne and leave with D give off F - D, which has
    to rise no faster than the interface falls. The test is made at the concentration that settles
    least solids, which is found by trying several.

    Args:
        solid_density_t_m3, bulk_density_t_m3: (B,) not used.
        surface: (B,) area A, m2.
        interface_speed: (B,) speed R at which the interface falls in the test, m/h.
        test_solids, underflow_solids: (B,) shares of solids by mass, the second the higher.
        share_used: (B,) share of the surface that is counted on.

    Returns:
        (B,) t/h of dry solids.

    Raises:
        ValueError: if the underflow holds no more solids than the test.

    Source: Coe & Clevenger (1916), from memory.

    Example, by hand: 4 tonnes of water come with a tonne and 1 leaves with it: 500 x 0.5 / 3.

    >>> settling_capacity(
    ...     solid_density_t_m3=2.7, bulk_density_t_m3=1.5, surface=500.0, interface_speed=0.5,
    ...     test_solids=0.2, underflow_solids=0.5,
    ... ).round(2)
    array([83.33])
    """
    del solid_density_t_m3, bulk_density_t_m3
    released = dilution(test_solids) - dilution(underflow_solids)
    if np.any(released <= 0.0):
        raise ValueError("an underflow holds more solids than the slurry of the settling test")
    area_m2 = per_case(surface) * per_case(share_used)
    return area_m2 * per_case(interface_speed) * WATER_T_M3 / released
