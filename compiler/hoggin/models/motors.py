"""The common series of motor powers, and what motors take from the supply."""

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

# Least efficiency of class IE3 at 50 Hz and four poles, by power in kW.
_IE3 = (
    (0.37, 0.773), (0.55, 0.808), (0.75, 0.825), (1.1, 0.841), (1.5, 0.853), (2.2, 0.867),
    (3, 0.877), (4, 0.886), (5.5, 0.896), (7.5, 0.904), (11, 0.914), (15, 0.921), (18.5, 0.926),
    (22, 0.930), (30, 0.936), (37, 0.939), (45, 0.942), (55, 0.946), (75, 0.950), (90, 0.952),
    (110, 0.954), (132, 0.956), (160, 0.958), (200, 0.960),
)  # fmt: skip


def next_motor_kw(drawn_kw: ArrayLike, margin: ArrayLike) -> Array:
    """The smallest motor of the series for a drawn power with a margin over it.

    Args:
        drawn_kw: (B,) power drawn at the motor, kW.
        margin: (B,) share of the drawn power to be added, 0 or more.

    Returns:
        (B,) kW; NaN where the series ends (above 2000 kW).

    Source: IEC 60072-1 and ISO 3 (R20), from memory.

    Example: 102 kW with 10 % is 112 kW, more than 110 kW.

    >>> next_motor_kw(102.0, margin=0.1)
    array([132.])
    """
    series = np.array((*SERIES_KW, np.nan))
    # A slack of rounding, so that a power of exactly one size with no margin is that size.
    wanted = per_case(drawn_kw) * (1 + per_case(margin)) * (1 - 1e-12)
    return series[np.searchsorted(series[:-1], wanted)]


def efficiency(motor_kw: ArrayLike) -> Array:
    """Efficiency of a motor at full load; between sizes by the logarithm of the power.

    Args:
        motor_kw: (B,) power of the motor, kW, above 0.

    Returns:
        (B,) fraction; above 200 kW that of 200 kW.

    Source: IEC 60034-30-1 (2014), class IE3, four poles, 50 Hz, from memory.

    Example: the 95.4 % that the standard has for 110 kW.

    >>> efficiency(110.0)
    array([0.954])
    """
    sizes, known = np.array(_IE3).T
    return np.asarray(np.interp(np.log(per_case(motor_kw)), np.log(sizes), known))
