"""Moist feed in a chamber that squeezes: fines that pack, and the capacity they cost.

Water holds fines together; squeezed with no voids left they move as a cake, which takes power,
lifts the relief and lets less through. No published regression is known to us.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, per_case

# Common practice, no source, for all of these:
PACKING_MOISTURE = 0.04  # water over dry solids
PACKING_SIZE = 0.25  # of the setting: finer than this fills the voids between the pieces
PACKING_FINES = 0.10  # of the feed
STICKY_CLAY = 0.02  # over dry solids: damp rock with more of it sticks whatever else it holds
LEAST_CAPACITY = 0.3  # of the dry one: a straight line must end somewhere


def moist_capacity_share(moisture: ArrayLike, *, limit: ArrayLike, loss: ArrayLike) -> Array:
    """Share of its dry capacity that a chamber keeps: 1 - 100 loss (moisture - limit).

    Args:
        moisture: (B,) water over dry solids of the feed, a fraction.
        limit: (B,) moisture up to which nothing is lost.
        loss: (B,) share of the capacity lost for each per cent of moisture beyond it.

    Returns:
        (B,) fraction, 1 at the most and no less than 0.3.

    Raises:
        nothing.

    Valid range: what the class's figures were seen at; moistures up to some 10 %.
    Source: common practice, no source.

    Example, by hand: 2 % beyond the limit, at 5 % each.

    >>> moist_capacity_share(0.06, limit=0.04, loss=0.05).round(3)
    array([0.9])
    """
    beyond = np.maximum(per_case(moisture) - per_case(limit), 0.0)
    return np.clip(1.0 - 100.0 * per_case(loss) * beyond, LEAST_CAPACITY, 1.0)


def packing_likely(
    moisture: float, fines: float, *, clay: float = 0.0, moisture_limit: float = PACKING_MOISTURE
) -> bool:
    """Whether a squeezing chamber is likely to pack.

    Args:
        moisture: water over dry solids of its feed.
        fines: share of it finer than a quarter of the setting.
        clay: over dry solids; from 2 % on few fines are enough.
        moisture_limit: of the class.

    Source: common practice, no source.
    """
    return moisture > moisture_limit and (fines > PACKING_FINES or clay > STICKY_CLAY)
