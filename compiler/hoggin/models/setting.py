"""The geometry of a cone crusher's setting: vertical travel of a liner against the gap it opens."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, per_case


def lift_for_gap_mm(gap_mm: ArrayLike, angle_deg: ArrayLike) -> Array:
    """Vertical travel that parts two liners from touching to a gap.

    The liners meet along cones whose walls are at one angle to the crusher's axis. Moving one of
    them along the axis by h parts them, measured square to the wall, by h sin(angle).

    Args:
        gap_mm: (B,) gap across the chamber at its closed side, mm.
        angle_deg: (B,) angle between the wall there and the vertical, above 0, to 90 degrees.

    Returns:
        (B,) mm.

    Raises:
        ValueError: if an angle is not above 0 or is over 90 degrees.

    Source: plane geometry.

    Example, by hand: at 30 degrees to the axis a liner moves two for one.

    >>> lift_for_gap_mm(20.0, angle_deg=30.0).round(1)
    array([40.])
    """
    return per_case(gap_mm) / _sine(angle_deg)


def gap_of_lift_mm(lift_mm: ArrayLike, angle_deg: ArrayLike) -> Array:
    """Gap that a vertical travel opens: the inverse of `lift_for_gap_mm`.

    Args:
        lift_mm: (B,) mm.
        angle_deg: (B,) angle between wall and vertical, above 0, to 90 degrees.

    Returns:
        (B,) mm.

    Raises:
        ValueError: as `lift_for_gap_mm`.

    Source: plane geometry.

    Example, by hand: the other way round.

    >>> gap_of_lift_mm(40.0, angle_deg=30.0).round(1)
    array([20.])
    """
    return per_case(lift_mm) * _sine(angle_deg)


def _sine(angle_deg: ArrayLike) -> Array:
    angle = per_case(angle_deg)
    if np.any((angle <= 0.0) | (angle > 90.0)):
        raise ValueError("the chamber's angle lies above 0 and up to 90 degrees")
    return np.asarray(np.sin(np.radians(angle)))
