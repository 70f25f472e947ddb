"""What a machine can take, t/h.

Every function takes the rock's densities beside the class's coefficients and gives (B,) t/h.
Coefficients are (B,) or plain numbers.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, per_case

_GRAVITY = 9.80665  # m/s2


def jaw_capacity(
    *,
    solid_density_t_m3: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    gape: ArrayLike,
    width: ArrayLike,
    css: ArrayLike,
    throw: ArrayLike,
    speed: ArrayLike = 0.0,
    packing: ArrayLike = 0.65,
    size_factor: ArrayLike = 1.0,
    surface: ArrayLike = 1.0,
) -> Array:
    """Capacity of a jaw crusher.

    At the critical speed Qm = 2820 sqrt(T) w (2 css + T) sqrt(R / (R - 1)) rho f(P) f(b) Sc, with
    R = gape / css, lengths in m. Below it capacity rises with speed, the stroke being the limit;
    above it falls as 1 / speed, the rock having less time to drop.

    Args:
        solid_density_t_m3: (B,) density of the solid rock, t/m3.
        bulk_density_t_m3: (B,) not used: `packing` does its work.
        gape, width, css, throw: (B,) mm; the gape above the css.
        speed: (B,) strokes per minute; 0 stands for the critical speed.
        packing: (B,) f(P), from the spread of the feed's sizes.
        size_factor: (B,) f(b), from the setting over the mean feed size.
        surface: (B,) Sc, 0.5 to 1.

    Returns:
        (B,) t/h.

    Raises:
        ValueError: if the gape is not above the css.

    Source: Rose & English (1967), as in Gupta & Yan (2006), ch. 4; from memory.

    Example, by hand: at the critical speed, 2820 x 0.2 x 1.2 x (0.38 + 0.04) / 0.9 x 2.7 x 0.65.

    >>> jaw_capacity(
    ...     solid_density_t_m3=2.7, bulk_density_t_m3=1.6, gape=1000.0, width=1200.0,
    ...     css=190.0, throw=40.0,
    ... ).round(1)
    array([554.3])
    """
    del bulk_density_t_m3
    setting_m, throw_m = per_case(css) / 1000.0, per_case(throw) / 1000.0
    critical = critical_speed_rpm(gape=gape, css=css, throw=throw)
    ratio = per_case(gape) / per_case(css)
    most = (
        2820.0
        * np.sqrt(throw_m)
        * (per_case(width) / 1000.0)
        * (2.0 * setting_m + throw_m)
        * np.sqrt(ratio / (ratio - 1.0))
        * per_case(solid_density_t_m3)
        * per_case(packing)
        * per_case(size_factor)
        * per_case(surface)
    )
    strokes = np.where(per_case(speed) > 0.0, per_case(speed), critical)
    return np.asarray(most * np.minimum(strokes / critical, critical / strokes))


def critical_speed_rpm(*, gape: ArrayLike, css: ArrayLike, throw: ArrayLike) -> Array:
    """Jaw speed of greatest capacity, 47 / sqrt(T) sqrt((R - 1) / R), (B,) rpm; lengths in mm.

    Raises:
        ValueError: if the gape is not above the css.

    Source: Rose & English (1967), as in Gupta & Yan (2006), ch. 4; from memory.

    Example, by hand: 47 / 0.2 x 0.9.

    >>> critical_speed_rpm(gape=1000.0, css=190.0, throw=40.0).round(1)
    array([211.5])
    """
    ratio = per_case(gape) / per_case(css)
    if np.any(ratio <= 1.0):
        raise ValueError("a jaw's gape must be above its css")
    return 47.0 / np.sqrt(per_case(throw) / 1000.0) * np.sqrt((ratio - 1.0) / ratio)


def choke_zone_capacity(
    *,
    solid_density_t_m3: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    css: ArrayLike,
    throw: ArrayLike,
    mean_diameter: ArrayLike,
    speed: ArrayLike,
    nip_angle: ArrayLike = 22.0,
    fall_share: ArrayLike = 0.5,
    fill: ArrayLike = 1.0,
) -> Array:
    """Capacity of a choke-fed gyratory or cone crusher.

    Once a nutation the rock in the choke zone drops, through the annulus pi D (css + throw / 2) at
    mean stroke. Up to the critical speed it drops as far as the stroke lets it: to where the open
    liners are as close as the closed ones were where it lay. Above that speed it drops as far as
    gravity takes it while the chamber is open.

    Args:
        bulk_density_t_m3: (B,) bulk density, t/m3.
        solid_density_t_m3: (B,) not used: rock in the chamber is loose.
        css, throw, mean_diameter: (B,) mm, at the choke zone.
        speed: (B,) nutations per minute, not the countershaft's speed.
        nip_angle: (B,) degrees between the liners at the choke zone.
        fall_share: (B,) share of the nutation in which the rock drops; 0.5 is the opening half.
        fill: (B,) filling of the zone.

    Returns:
        (B,) t/h; 0 without a throw.

    Source: the two limits, Rose & English (1967) for jaws; fall through an annulus, Gauldie (1953),
    Evertsson (2000); all from memory.

    Example, by hand: rock falls 49 mm in the 0.1 s in which the chamber opens, through pi x 1 m x
    50 mm: 0.0077 m3, 18,000 times an hour, of 1.6 t/m3.

    >>> choke_zone_capacity(
    ...     solid_density_t_m3=2.7, bulk_density_t_m3=1.6, css=30.0, throw=40.0,
    ...     mean_diameter=1000.0, speed=300.0,
    ... ).round(1)
    array([221.8])
    """
    del solid_density_t_m3
    nutations = per_case(speed)
    fall_m = 0.5 * _GRAVITY * (60.0 * per_case(fall_share) / nutations) ** 2
    drop_m = np.minimum(fall_m, _stroke_drop_m(throw, nip_angle))
    gap_m = (per_case(css) + 0.5 * per_case(throw)) / 1000.0
    volume_m3 = np.pi * per_case(mean_diameter) / 1000.0 * gap_m * drop_m * per_case(fill)
    return 60.0 * nutations * volume_m3 * per_case(bulk_density_t_m3)


def critical_nutations_rpm(
    *, throw: ArrayLike, nip_angle: ArrayLike = 22.0, fall_share: ArrayLike = 0.5
) -> Array:
    """Speed of greatest capacity of a choke zone, (B,) nutations per minute: rock falls just as
    far as the stroke lets it. Arguments and source as for `choke_zone_capacity`."""
    fall_s = np.sqrt(2.0 * _stroke_drop_m(throw, nip_angle) / _GRAVITY)
    return np.asarray(60.0 * per_case(fall_share) / fall_s)


def _stroke_drop_m(throw: ArrayLike, nip_angle: ArrayLike) -> Array:
    """How far a stroke lets rock drop between liners that close in by `nip_angle`."""
    return np.asarray(per_case(throw) / 1000.0 / np.tan(np.radians(per_case(nip_angle))))


def rotor_capacity(
    *,
    solid_density_t_m3: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    width: ArrayLike,
    gap: ArrayLike,
    tip_speed: ArrayLike,
    inlet: ArrayLike,
    drop: ArrayLike,
    inlet_fill: ArrayLike,
    fill: ArrayLike = 0.05,
) -> Array:
    """What an impactor takes: the smaller of what enters its rotor and what leaves it.

    Rock falls onto the rotor as a curtain as high as the inlet: width x inlet x sqrt(2 g drop) x
    inlet fill. It leaves by the last gap: width x gap x tip speed x fill. At similar geometry the
    first grows as the size to 5/2.

    Args:
        bulk_density_t_m3: (B,) bulk density, t/m3.
        solid_density_t_m3: (B,) not used.
        width, gap, inlet, drop: (B,) mm.
        tip_speed: (B,) m/s.
        inlet_fill, fill: (B,) share of the curtain, and of the swept volume, that is rock.

    Returns:
        (B,) t/h.

    Source: conservation of volume and free fall; the fills are common practice, no source.

    Example, by hand: what leaves is less: 0.05 m x 40 m/s x 0.05 x 1 m x 3600 x 1.6.

    >>> rotor_capacity(
    ...     solid_density_t_m3=2.7, bulk_density_t_m3=1.6, width=1000.0, gap=50.0, tip_speed=40.0,
    ...     inlet=800.0, drop=500.0, inlet_fill=0.1,
    ... ).round(1)
    array([576.])
    """
    del solid_density_t_m3
    fall_m_s = np.sqrt(2.0 * _GRAVITY * per_case(drop) / 1000.0)
    entering_m2_s = per_case(inlet) / 1000.0 * fall_m_s * per_case(inlet_fill)
    leaving_m2_s = per_case(gap) / 1000.0 * per_case(tip_speed) * per_case(fill)
    flow_m3_s = per_case(width) / 1000.0 * np.minimum(entering_m2_s, leaving_m2_s)
    return 3600.0 * flow_m3_s * per_case(bulk_density_t_m3)


def roll_capacity(
    *,
    solid_density_t_m3: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    width: ArrayLike,
    gap: ArrayLike,
    peripheral_speed: ArrayLike,
    ribbon: ArrayLike = 0.25,
) -> Array:
    """Throughput of a roll crusher: a ribbon of rock, width x gap x peripheral speed, part solid.

    With the speed as pi D n this is 60 pi D n w s rho = 188.5 D n w s rho, n a minute, lengths in
    m, times the ribbon factor.

    Args:
        solid_density_t_m3: (B,) density of the solid rock, t/m3.
        bulk_density_t_m3: (B,) not used: `ribbon` does its work.
        width, gap: (B,) mm.
        peripheral_speed: (B,) m/s.
        ribbon: (B,) share of a solid ribbon that passes, for voids and slip; about 0.1 to 0.35.

    Returns:
        (B,) t/h.

    Source: Taggart (1945), Gupta & Yan (2006), ch. 6; from memory.

    Example, by hand: 1 m x 0.01 m x 2 m/s x 3600 x 0.25 x 2.7.

    >>> roll_capacity(
    ...     solid_density_t_m3=2.7, bulk_density_t_m3=1.6, width=1000.0, gap=10.0,
    ...     peripheral_speed=2.0,
    ... ).round(1)
    array([48.6])
    """
    del bulk_density_t_m3
    ribbon_m3_s = per_case(width) * per_case(gap) * 1e-6 * per_case(peripheral_speed)
    return 3600.0 * ribbon_m3_s * per_case(ribbon) * per_case(solid_density_t_m3)


def nipped_size_mm(*, diameter: ArrayLike, gap: ArrayLike, friction: ArrayLike) -> Array:
    """Largest round piece that two rolls draw in, its weight left out.

    cos(theta / 2) = (D + gap) / (D + d) with the angle of nip theta, whose half has the
    coefficient of friction as its tangent.

    Args:
        diameter: (B,) of the rolls, mm, above 0.
        gap: (B,) between the rolls, mm.
        friction: (B,) coefficient of friction of rock on roll, not below 0.

    Returns:
        (B,) mm; the gap itself without friction.

    Raises:
        ValueError: if a diameter is not above 0, or a gap or friction is below 0.

    Source: Gupta & Yan (2006), ch. 6, Taggart (1945); from memory.

    Example, by hand: a friction of 0.75 has the cosine 0.8, so (600 + 40) / 0.8 - 600.

    >>> nipped_size_mm(diameter=600.0, gap=40.0, friction=0.75).round(1)
    array([200.])
    """
    roll, opening, grip = per_case(diameter), per_case(gap), per_case(friction)
    if np.any(roll <= 0.0) or np.any(opening < 0.0) or np.any(grip < 0.0):
        raise ValueError("rolls have a diameter above 0, a gap and a friction of at least 0")
    half_angle = np.arctan(grip)
    return np.asarray((roll + opening) / np.cos(half_angle) - roll)


def layer_capacity(
    *,
    solid_density_t_m3: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    width: ArrayLike,
    depth: ArrayLike,
    travel_speed: ArrayLike,
    fill: ArrayLike = 1.0,
) -> Array:
    """Flow of a layer of rock carried by a feeder: width x depth x travel speed x fill.

    Args:
        bulk_density_t_m3: (B,) bulk density, t/m3.
        solid_density_t_m3: (B,) not used.
        width, depth: (B,) mm.
        travel_speed: (B,) m/s.
        fill: (B,) share of width times depth that is filled.

    Returns:
        (B,) t/h.

    Source: conservation of mass.

    Example, by hand: 1.2 m x 0.3 m x 0.2 m/s x 3600 x 1.6.

    >>> layer_capacity(
    ...     solid_density_t_m3=2.7, bulk_density_t_m3=1.6, width=1200.0, depth=300.0,
    ...     travel_speed=0.2,
    ... ).round(1)
    array([414.7])
    """
    del solid_density_t_m3
    section_m2 = per_case(width) * per_case(depth) * 1e-6 * per_case(fill)
    return 3600.0 * section_m2 * per_case(travel_speed) * per_case(bulk_density_t_m3)


def spiral_capacity(
    *,
    solid_density_t_m3: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    diameter: ArrayLike,
    pitch: ArrayLike,
    peripheral_speed: ArrayLike,
    fill: ArrayLike,
) -> Array:
    """Settled sand that a spiral rakes up its tub: the volume between its flights, a share of
    which is sand, at its turns an hour.

    Args:
        bulk_density_t_m3: (B,) bulk density of the sand, t/m3.
        solid_density_t_m3: (B,) not used.
        diameter, pitch: (B,) of the spiral, mm.
        peripheral_speed: (B,) of the spiral's rim, m/s.
        fill: (B,) share of the volume between the flights that moves as sand.

    Returns:
        (B,) t/h.

    Source: conservation of volume. With a pitch of 0.6 D and a fill of 0.125 it is the handbooks'
    135 D^3 n / 24 t/h of sand of 2.7 t/m3 (from memory).

    Example: 10 turns a minute of 1 m; the handbooks' 135 x 10 / 24 is 56.25.

    >>> spiral_capacity(
    ...     solid_density_t_m3=2.7, bulk_density_t_m3=1.6, diameter=1000.0, pitch=600.0,
    ...     peripheral_speed=0.5236, fill=0.125,
    ... ).round(1)
    array([56.5])
    """
    del solid_density_t_m3
    turn_m3 = np.pi / 4.0 * per_case(diameter) ** 2 * per_case(pitch) * 1e-9 * per_case(fill)
    turns_h = 3600.0 * per_case(peripheral_speed) / (np.pi * per_case(diameter) / 1000.0)
    return turn_m3 * turns_h * per_case(bulk_density_t_m3)


RAKED_FINES_MM = 0.3
"""Sand finer than this is stirred up by a fast spiral (No. 50)."""

# Share of the sand finer than that, and the fastest rim that still rakes it, m/s.
_FINES, _FASTEST_RIM_M_S = (0.15, 0.20, 0.30, 0.50), (1.0, 0.75, 0.5, 0.25)


def fastest_rim_m_s(fines: ArrayLike) -> Array:
    """Speed of a spiral's rim above which it stirs up fine sand instead of raking it.

    Args:
        fines: (B,) share of the sand finer than `RAKED_FINES_MM`.

    Returns:
        (B,) m/s, 1 up to 15 % of fines and 0.25 from 50 % on.

    Source: common practice, no source; from memory.
    """
    found: Array = np.interp(per_case(fines), _FINES, _FASTEST_RIM_M_S)
    return found


def rated_capacity(
    *,
    solid_density_t_m3: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    rated: ArrayLike,
    rated_density: ArrayLike = 1.6,
) -> Array:
    """A stated capacity, in proportion to bulk density since a chamber takes volume.

    Args:
        bulk_density_t_m3: (B,) bulk density, t/m3.
        solid_density_t_m3: (B,) not used.
        rated: (B,) t/h.
        rated_density: (B,) bulk density of the rating, t/m3.

    Returns:
        (B,) t/h.

    Source: the class's own.

    Example, by hand: 200 x 1.68 / 1.6.

    >>> rated_capacity(solid_density_t_m3=2.8, bulk_density_t_m3=1.68, rated=200.0).round(1)
    array([210.])
    """
    del solid_density_t_m3
    return per_case(rated) * per_case(bulk_density_t_m3) / per_case(rated_density)
