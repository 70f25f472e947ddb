"""Troughed belt conveyors: what the belt's section carries, and the power that moves it.

Source: ISO 5048 (1989), from memory throughout, for belts on three equal rolls that run level or
uphill. Left out: friction of skirts, cleaners and ploughs, which are special to a conveyor.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, over, per_case

_GRAVITY = 9.81
_SECONDS_PER_HOUR = 3600.0
_WIDE_BELT_M = 2.0

# Coefficient C for secondary resistances over the length between pulley centres, m. From memory:
# ISO 5048 from 80 m on, shorter ones as in DIN 22101.
_LENGTHS_M = (
    3, 4, 5, 6, 8, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 90, 100, 120, 140, 160, 180, 200, 250,
    300, 350, 400, 450, 500, 600, 700, 800, 900, 1000, 1500, 2000,
)  # fmt: skip
_C = (
    9.0, 7.6, 6.6, 5.9, 5.1, 4.5, 4.0, 3.6, 3.2, 2.9, 2.6, 2.4, 2.2, 2.0, 1.92, 1.86, 1.78, 1.70,
    1.63, 1.56, 1.50, 1.45, 1.38, 1.31, 1.27, 1.25, 1.22, 1.20, 1.17, 1.14, 1.12, 1.10, 1.09, 1.06,
    1.05,
)  # fmt: skip


def usable_width_m(width_mm: ArrayLike) -> Array:
    """Width of belt that carries: 0.9 B - 0.05 m, and B - 0.25 m for belts over 2 m.

    Args:
        width_mm: (B,) belt width, mm.

    Returns:
        (B,) m.

    Source: ISO 5048 (1989), from memory.

    Example, by hand: 0.9 x 1 - 0.05.

    >>> usable_width_m(1000.0).round(3)
    array([0.85])
    """
    width = per_case(width_mm) / 1000
    return np.where(width <= _WIDE_BELT_M, 0.9 * width - 0.05, width - 0.25)


def section_m2(
    width: ArrayLike,
    middle_roll: ArrayLike,
    trough_angle: ArrayLike,
    surcharge_angle: ArrayLike,
) -> Array:
    """Section of rock on a full belt: a trapezium in the trough and a parabola's cap on it.

    With usable width b and middle roll l, the load is l + (b - l) cos(trough) wide at the top;
    cap = top^2 tan(surcharge) / 6, trough = (l + (b - l) cos / 2) (b - l) sin / 2.

    Args:
        width, middle_roll: (B,) of the belt and of the middle roll, mm.
        trough_angle: (B,) of the outer rolls to the horizontal, degrees; 0 is a flat belt.
        surcharge_angle: (B,) of the moving rock's surface, degrees.

    Returns:
        (B,) m2.

    Source: ISO 5048 (1989), from memory; the trapezium is geometry.

    Example, by hand: a flat belt carries the cap alone, 0.85^2 tan(20 degrees) / 6.

    >>> section_m2(1000.0, middle_roll=380.0, trough_angle=0.0, surcharge_angle=20.0).round(4)
    array([0.0438])
    """
    usable = usable_width_m(width)
    middle = np.minimum(per_case(middle_roll) / 1000, usable)
    trough = np.radians(per_case(trough_angle))
    slant = usable - middle
    top = middle + slant * np.cos(trough)
    cap = top**2 * np.tan(np.radians(per_case(surcharge_angle))) / 6
    return cap + (middle + slant / 2 * np.cos(trough)) * slant / 2 * np.sin(trough)


def cap_share(
    width: ArrayLike,
    middle_roll: ArrayLike,
    trough_angle: ArrayLike,
    surcharge_angle: ArrayLike,
) -> Array:
    """Share of `section_m2` that lies in the cap above the trough: (B,), 0 for an empty section.
    Arguments as for `section_m2`.

    Source: geometry.
    """
    section = section_m2(width, middle_roll, trough_angle, surcharge_angle)
    cap = section - section_m2(width, middle_roll, trough_angle, 0.0)
    return over(cap, section, empty=0.0)


def slope_factor(
    length: ArrayLike, lift: ArrayLike, surcharge_angle: ArrayLike, share_of_cap: ArrayLike
) -> Array:
    """What is left of the section on a slope: 1 - cap (1 - k), with
    k = sqrt((cos^2 slope - cos^2 surcharge) / (1 - cos^2 surcharge)).

    Args:
        length, lift: (B,) along the belt and in height, m.
        surcharge_angle: (B,) degrees, above 0.
        share_of_cap: (B,) share of the section that is the cap's.

    Returns:
        (B,) factor, 0 to 1; 1 on the level. Where the slope is over the angle of surcharge, no
        cap is left.

    Source: ISO 5048 (1989), from memory.
    """
    cosine = np.cos(_slope(length, lift))
    surcharge = np.cos(np.radians(np.maximum(per_case(surcharge_angle), 1e-6)))
    left = np.maximum(cosine**2 - surcharge**2, 0.0) / (1 - surcharge**2)
    factor: Array = 1 - per_case(share_of_cap) * (1 - np.sqrt(left))
    return factor


def trough_capacity(
    *,
    width: ArrayLike,
    middle_roll: ArrayLike,
    trough_angle: ArrayLike,
    surcharge_angle: ArrayLike,
    travel_speed: ArrayLike,
    length: ArrayLike,
    lift: ArrayLike,
    solid_density_t_m3: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    fill: ArrayLike = 1.0,
) -> Array:
    """Tonnes an hour on a belt filled to a share of its section.

    Args:
        width, middle_roll, trough_angle, surcharge_angle: (B,) as for `section_m2`.
        travel_speed: (B,) of the belt, m/s.
        length, lift: (B,) along the belt and in height, m.
        solid_density_t_m3: (B,) not used.
        bulk_density_t_m3: (B,) of the rock, t/m3.
        fill: (B,) share of the section that is used.

    Returns:
        (B,) t/h.

    Source: ISO 5048 (1989), from memory.
    """
    del solid_density_t_m3
    shape = width, middle_roll, trough_angle, surcharge_angle
    factor = slope_factor(length, lift, surcharge_angle, cap_share(*shape))
    volume_m3_h = section_m2(*shape) * factor * per_case(travel_speed) * _SECONDS_PER_HOUR
    return volume_m3_h * per_case(fill) * per_case(bulk_density_t_m3)


def secondary_coefficient(length: ArrayLike) -> Array:
    """Coefficient C: all resistances of friction over those along the length.

    Args:
        length: (B,) between pulley centres, m; read between table values in the logarithm, and at
            the table's end outside 3 to 2000 m.

    Returns:
        (B,) factor, 9 falling to 1.05.

    Source: ISO 5048 (1989), shorter than 80 m DIN 22101; from memory.
    """
    return np.interp(np.log(per_case(length)), np.log(_LENGTHS_M), _C)


def belt_force_n(
    feed_t_h: ArrayLike,
    *,
    travel_speed: ArrayLike,
    length: ArrayLike,
    lift: ArrayLike,
    belt_mass: ArrayLike,
    roll_mass: ArrayLike,
    friction: ArrayLike = 0.02,
) -> Array:
    """Pull at the drive pulley:
    F = C f L g (q_rolls + (2 q_belt + q_rock) cos(slope)) + q_rock H g.

    Args:
        feed_t_h: (B,) rock and the water with it, t/h.
        travel_speed: (B,) of the belt, m/s.
        length, lift: (B,) along the belt, and upwards, m.
        belt_mass, roll_mass: (B,) of both strands of belt and of all turning parts of the idlers,
            over the whole length, t.
        friction: (B,) artificial friction f of belt, idlers and rock.

    Returns:
        (B,) N.

    Source: ISO 5048 (1989), from memory.

    Example, by hand: 100 kg of rock on a metre and 50 kg of belt and rolls, level: 1.78 x 0.02 x
    9.81 x 15,000 kg.

    >>> belt_force_n(
    ...     720.0, travel_speed=2.0, length=100.0, lift=0.0, belt_mass=2.0, roll_mass=3.0
    ... ).round(0)
    array([5239.])
    """
    along, up = per_case(length), per_case(lift)
    rock_kg_m = per_case(feed_t_h) * 1000 / _SECONDS_PER_HOUR / per_case(travel_speed)
    carried_kg = 1000 * per_case(belt_mass) + rock_kg_m * along
    moved_kg = 1000 * per_case(roll_mass) + carried_kg * np.cos(_slope(along, up))
    rolling = secondary_coefficient(along) * per_case(friction) * _GRAVITY * moved_kg
    return rolling + rock_kg_m * up * _GRAVITY


def belt_power(
    feed_t_h: ArrayLike,
    *,
    travel_speed: ArrayLike,
    length: ArrayLike,
    lift: ArrayLike,
    belt_mass: ArrayLike,
    roll_mass: ArrayLike,
    friction: ArrayLike = 0.02,
    efficiency: ArrayLike = 0.9,
) -> Array:
    """Power the motor gives: pull x speed / efficiency. Arguments as for `belt_force_n`, and:

    Args:
        efficiency: (B,) of gear and coupling, between motor and pulley.

    Returns:
        (B,) kW.

    Source: ISO 5048 (1989), from memory.

    Example, by hand: 5.239 kN x 2 m/s / 0.9.

    >>> belt_power(
    ...     720.0, travel_speed=2.0, length=100.0, lift=0.0, belt_mass=2.0, roll_mass=3.0
    ... ).round(2)
    array([11.64])
    """
    force_n = belt_force_n(
        feed_t_h,
        travel_speed=travel_speed,
        length=length,
        lift=lift,
        belt_mass=belt_mass,
        roll_mass=roll_mass,
        friction=friction,
    )
    return force_n * per_case(travel_speed) / 1000 / per_case(efficiency)


def slope_deg(length: ArrayLike, lift: ArrayLike) -> Array:
    """Angle of the belt to the horizontal, (B,) degrees, from (B,) m along it and upwards; upright
    where it rises by its length or more.

    Source: geometry.
    """
    return np.degrees(_slope(length, lift))


def _slope(length: ArrayLike, lift: ArrayLike) -> Array:
    """Angle of the belt to the horizontal, radians; upright where it rises by all its length."""
    return np.arcsin(np.minimum(per_case(lift) / per_case(length), 1.0))
