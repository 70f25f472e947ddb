"""Volume of conical stockpiles, and what a draw point below the apex reclaims of it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, per_case


def base_radius_m(height_m: ArrayLike, repose_deg: ArrayLike) -> Array:
    """Radius of a cone's foot: r = h / tan(repose).

    Args:
        height_m: (B,) height, m.
        repose_deg: (B,) angle of the flank to the horizontal, above 0 and below 90 degrees.

    Returns:
        (B,) m.

    Raises:
        ValueError: if an angle is outside its range.

    Source: geometry.

    Example, by hand: as wide as high at 45 degrees.

    >>> base_radius_m(10.0, repose_deg=45.0).round(1)
    array([10.])
    """
    return per_case(height_m) / _tangent(repose_deg)


def cone_volume_m3(height_m: ArrayLike, repose_deg: ArrayLike) -> Array:
    """Volume of a cone: pi r^2 h / 3. Arguments and errors as for `base_radius_m`.

    Returns:
        (B,) m3.

    Source: geometry.

    Example, by hand: pi x 100 x 10 / 3.

    >>> cone_volume_m3(10.0, repose_deg=45.0).round(1)
    array([1047.2])
    """
    radius = base_radius_m(height_m, repose_deg)
    return np.pi / 3 * radius**2 * per_case(height_m)


def ridge_volume_m3(height_m: ArrayLike, repose_deg: ArrayLike, arc_m: ArrayLike) -> Array:
    """Volume between the half cones at the ends of a pile whose top was moved along an arc.

    By Pappus's second theorem it is the section, a triangle of height h and base 2 r, times the
    way of its centre, which lies under the top. What is not listed is as for `base_radius_m`.

    Args:
        arc_m: (B,) way of the top, m, on a radius of no less than the pile's.

    Returns:
        (B,) m3.

    Source: Pappus's second theorem.

    Example, by hand: a section of 100 m2, moved 20 m.

    >>> ridge_volume_m3(10.0, repose_deg=45.0, arc_m=20.0).round(1)
    array([2000.])
    """
    return base_radius_m(height_m, repose_deg) * per_case(height_m) * per_case(arc_m)


def live_share(repose_deg: ArrayLike, drawdown_deg: ArrayLike) -> Array:
    """Share of a cone that runs out through one opening under its apex.

    The crater that is left rises from the opening at the draw-down angle and meets the flank at
    r = h / (tan(repose) + tan(drawdown)); what lies above it is live: pi h r^2 / 3.

    Args:
        repose_deg, drawdown_deg: (B,) angles of flank and crater to the horizontal, above 0 and
            below 90 degrees.

    Returns:
        (B,) share, 0 to 1: a quarter where both angles are the same.

    Raises:
        ValueError: if an angle is outside its range.

    Source: geometry.

    Example, by hand: a quarter.

    >>> live_share(repose_deg=37.0, drawdown_deg=37.0)
    array([0.25])
    """
    flank, crater = _tangent(repose_deg), _tangent(drawdown_deg)
    return (flank / (flank + crater)) ** 2


def _tangent(angle_deg: ArrayLike) -> Array:
    angle = per_case(angle_deg)
    if np.any(angle <= 0.0) or np.any(angle >= 90.0):
        raise ValueError("an angle of a pile lies between 0 and 90 degrees")
    return np.tan(np.radians(angle))
