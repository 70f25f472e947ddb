"""Power drawn by what moves rock without breaking it: screens, feeders, screws.

Every function takes what is moved by one machine, t/h, its bulk density and the number of its decks
beside the class's coefficients, and gives (B,) kW. Coefficients are (B,) or plain numbers.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, per_case

_GRAVITY = 9.80665  # m/s2
_KG_PER_T, _MM_PER_M, _W_PER_KW, _SECONDS_PER_HOUR = 1000.0, 1000.0, 1000.0, 3600.0


def vibrating_power(
    moved_t_h: ArrayLike,
    *,
    decks: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    box_mass: ArrayLike,
    deck_mass: ArrayLike = 0.0,
    stroke: ArrayLike,
    speed: ArrayLike,
    shaft: ArrayLike,
    friction: ArrayLike = 0.005,
    length: ArrayLike,
    travel_speed: ArrayLike,
    efficiency: ArrayLike = 0.9,
) -> Array:
    """Power of an exciter: friction of its bearings under the inertia of the box, and the motion
    that the rock loses each time it lands.

    P = (friction m a w2 (shaft / 2) w + 1/2 m_rock (a w)^2 w / 2 pi) / efficiency, with the
    amplitude a of half a stroke and the rock that lies on one deck, flow x length / travel speed.

    Args:
        decks: (B,) number of decks.
        bulk_density_t_m3: (B,) not used: a mass is moved.
        box_mass, deck_mass: (B,) t, of the moving box without decks, and of each deck.
        stroke: (B,) mm, twice the amplitude.
        speed: (B,) turns of the exciter per minute.
        shaft: (B,) mm, diameter at the exciter's bearings.
        friction: (B,) coefficient of the bearings, seals and grease included.
        length: (B,) mm, of a deck.
        travel_speed: (B,) m/s, of the rock.
        efficiency: (B,) of the belt drive.

    Returns:
        (B,) kW.

    Source: mechanics; that all motion is lost at each landing is an upper limit.
    """
    del bulk_density_t_m3
    turning = 2.0 * np.pi * per_case(speed) / 60.0
    amplitude_m = per_case(stroke) / 2.0 / _MM_PER_M
    mass_kg = (per_case(box_mass) + per_case(decks) * per_case(deck_mass)) * _KG_PER_T
    force_n = mass_kg * amplitude_m * turning**2
    bearings_w = per_case(friction) * force_n * per_case(shaft) / 2.0 / _MM_PER_M * turning
    flow_kg_s = per_case(moved_t_h) * _KG_PER_T / _SECONDS_PER_HOUR
    rock_kg = flow_kg_s * per_case(length) / _MM_PER_M / per_case(travel_speed)
    landing_w = 0.5 * rock_kg * (amplitude_m * turning) ** 2 * turning / (2.0 * np.pi)
    return np.asarray((bearings_w + landing_w) / per_case(efficiency) / _W_PER_KW)


def hopper_power(
    moved_t_h: ArrayLike,
    *,
    decks: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    width: ArrayLike,
    length: ArrayLike,
    travel_speed: ArrayLike,
    shear: ArrayLike = 0.45,
    own_mass: ArrayLike,
    friction: ArrayLike,
    efficiency: ArrayLike = 0.85,
) -> Array:
    """Power of a belt or apron that draws rock from a hopper: it shears the rock above it.

    The rock in flow rests on it with about bulk density x g x length x width^2, whatever the height
    of the hopper. P = v (shear x that load + friction x own mass x g) / efficiency.

    Args:
        moved_t_h: (B,) t/h; with none it is stopped.
        decks: (B,) not used: it has none.
        bulk_density_t_m3: (B,) t/m3.
        width, length: (B,) mm, of the opening above it.
        travel_speed: (B,) m/s.
        shear: (B,) force that draws the rock over the load.
        own_mass: (B,) t, of belt or apron.
        friction: (B,) of its rollers or chain.
        efficiency: (B,) of the drive.

    Returns:
        (B,) kW.

    Source: load of a hopper in flow, Reisner & Rothe (1971), Bruff (1969), from memory.

    Example, by hand: 47.07 kN of rock and 19.61 kN of apron: 0.25 (0.45 x 47.07 + 0.05 x 19.61) /
    0.85.

    >>> hopper_power(
    ...     200.0, decks=0, bulk_density_t_m3=1.6, width=1000.0, length=3000.0, travel_speed=0.25,
    ...     own_mass=2.0, friction=0.05,
    ... ).round(2)
    array([6.52])
    """
    del decks
    width_m, length_m = per_case(width) / _MM_PER_M, per_case(length) / _MM_PER_M
    above_n = per_case(bulk_density_t_m3) * _KG_PER_T * _GRAVITY * length_m * width_m**2
    own_n = per_case(own_mass) * _KG_PER_T * _GRAVITY
    pull_n = per_case(shear) * above_n + per_case(friction) * own_n
    drawn_kw = pull_n * per_case(travel_speed) / per_case(efficiency) / _W_PER_KW
    return np.where(per_case(moved_t_h) > 0.0, drawn_kw, 0.0)


def screw_power(
    moved_t_h: ArrayLike,
    *,
    decks: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    diameter: ArrayLike,
    length: ArrayLike,
    lift: ArrayLike,
    progress: ArrayLike = 4.0,
    efficiency: ArrayLike = 0.9,
) -> Array:
    """Power of a screw: P = (Q g (progress L + H) / 3600 + D L / 20) / efficiency.

    Args:
        moved_t_h: (B,) Q, t/h of sand that it lifts.
        decks, bulk_density_t_m3: (B,) not used.
        diameter, length, lift: (B,) mm; D, L and H in m.
        progress: (B,) coefficient of resistance of the rock to being pushed.
        efficiency: (B,) of the drive.

    Returns:
        (B,) kW.

    Source: ISO 7119 (1981), from memory.

    Example, by hand: (100 x 9.80665 x (4 x 8 + 3) / 3600 + 1 x 8 / 20) / 0.9.

    >>> screw_power(
    ...     100.0, decks=0, bulk_density_t_m3=1.6, diameter=1000.0, length=8000.0, lift=3000.0
    ... ).round(2)
    array([11.04])
    """
    del decks, bulk_density_t_m3
    across_m, length_m = per_case(diameter) / _MM_PER_M, per_case(length) / _MM_PER_M
    resistance_m = per_case(progress) * length_m + per_case(lift) / _MM_PER_M
    pushing_kw = per_case(moved_t_h) * _GRAVITY * resistance_m / _SECONDS_PER_HOUR
    return np.asarray((pushing_kw + across_m * length_m / 20.0) / per_case(efficiency))


def stated_power(
    moved_t_h: ArrayLike, *, decks: ArrayLike, bulk_density_t_m3: ArrayLike, drawn: ArrayLike
) -> Array:
    """A power that the class states, whatever is moved.

    Args:
        moved_t_h, decks, bulk_density_t_m3: (B,) not used.
        drawn: (B,) kW.

    Returns:
        (B,) kW.

    Source: the class's own.
    """
    del moved_t_h, decks, bulk_density_t_m3
    return per_case(drawn)
