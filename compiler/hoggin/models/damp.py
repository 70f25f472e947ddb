"""What surface moisture does on a deck that is screened dry.

Water holds dust to coarser pieces, which carry it over the deck, and holds fines together and to
the wire, where they close fine openings. Wet screening washes both away. No published regression
is known to us: every figure here is common practice, no source.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, per_case
from hoggin.models.packing import STICKY_CLAY

# Common practice, no source, for all of these; moistures are water over dry solids.
CLINGING_MOISTURE = 0.05  # from which on no more dust clings; 4 to 6 %
DAMP_CLINGING = 2.0  # times the dry share that clings then; 1.5 to 4
BLINDING_MOISTURE = 0.03  # up to which no opening is closed; 2 to 3 %
BLINDED_MOISTURE = 0.06  # from which on no more are closed
BLINDING_APERTURE_MM = 12.0  # from which on none are closed, half of which are closed most
CLAYEY_APERTURE_MM = 20.0  # the same of rock with clay that sticks
BLINDING = 0.6  # share of the openings closed at the most; 0.3 to 0.8


def clinging_share(
    dry: ArrayLike, *, moisture: ArrayLike, damp_clinging: ArrayLike = DAMP_CLINGING
) -> Array:
    """Share of the finest that clings to the oversize: rises in a straight line from `dry` to
    `damp_clinging` times as much at 5 % moisture, and is the same above.

    Args:
        dry: (B,) share that clings to dry stone.
        moisture: (B,) surface water over dry solids of the deck's feed; 0 where it is washed.
        damp_clinging: (B,) times the dry share at 5 % moisture and above.

    Returns:
        (B,) fraction, 0 to 1.

    Source: common practice, no source.

    Example, by hand: half way to 5 % moisture, half way to twice the share.

    >>> clinging_share(0.02, moisture=0.025)
    array([0.03])
    """
    damp = np.clip(per_case(moisture) / CLINGING_MOISTURE, 0.0, 1.0)
    return np.minimum(per_case(dry) * (1.0 + (per_case(damp_clinging) - 1.0) * damp), 1.0)


def blinded_share(
    aperture_mm: ArrayLike,
    *,
    moisture: ArrayLike,
    clay: ArrayLike = 0.0,
    blinding: ArrayLike = BLINDING,
) -> Array:
    """Share of a deck's openings that damp fines close.

    `blinding` of openings up to 6 mm from 6 % moisture on; less, in straight lines, to none at
    3 % moisture or at 12 mm. With more than 2 % clay the openings are 10 mm and 20 mm.

    Args:
        aperture_mm: (B,) equivalent square aperture, mm.
        moisture: (B,) surface water over dry solids of the deck's feed; 0 where it is washed.
        clay: (B,) over dry solids.
        blinding: (B,) share closed at the most; less for heated and flexible media.

    Returns:
        (B,) fraction, 0 to `blinding`.

    Source: common practice, no source.

    Example, by hand: 9 mm is half way from 12 mm to 6 mm, and 6 % the most moisture that counts.

    >>> blinded_share(9.0, moisture=0.06).round(3)
    array([0.3])
    """
    span = BLINDED_MOISTURE - BLINDING_MOISTURE
    damp = np.clip((per_case(moisture) - BLINDING_MOISTURE) / span, 0.0, 1.0)
    fine = np.clip(2.0 * (1.0 - per_case(aperture_mm) / blinding_aperture_mm(clay)), 0.0, 1.0)
    return per_case(blinding) * damp * fine


def blinding_aperture_mm(clay: ArrayLike) -> Array:
    """From which aperture on damp fines close none, (B,), for clay (B,) over dry solids."""
    sticks = per_case(clay) > STICKY_CLAY
    return np.where(sticks, CLAYEY_APERTURE_MM, BLINDING_APERTURE_MM)
