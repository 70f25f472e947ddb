"""The common series of motor powers."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, per_case

# Preferred outputs in the manner of IEC 60072-1 as catalogues keep them, from memory. From 160 kW
# on they are numbers of the R20 series of ISO 3.
SERIES_KW: tuple[float, ...] = (
    0.37, 0.55, 0.75, 1.1, 1.5, 2.2, 3, 4, 5.5, 7.5, 11, 15, 18.5, 22, 30, 37, 45, 55, 75, 90,
    110, 132, 160, 200, 250, 315, 355, 400, 450, 500, 560, 630, 710, 800, 900, 1000, 1120, 1250,
    1400, 1600, 1800, 2000,
)  # fmt: skip


def next_motor_kw(drawn_kw: ArrayLike, margin: ArrayLike) -> Array:
    """The smallest motor of the series for a drawn power with a margin over it.

    Args:
        drawn_kw: (B,) power drawn at the motor, kW.
        margin: (B,) share of the drawn power to be added, 0 or more.

    Returns:
        (B,) kW; NaN where the series ends (above 2000 kW).

    Source: IEC 60072-1 and ISO 3 (R20), from memory.
    """
    series = np.array((*SERIES_KW, np.nan))
    # A slack of rounding, so that a power of exactly one size with no margin is that size.
    wanted = per_case(drawn_kw) * (1 + per_case(margin)) * (1 - 1e-12)
    return series[np.searchsorted(series[:-1], wanted)]
