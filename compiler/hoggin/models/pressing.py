"""A bed of rock pressed between two rolls: where it is gripped, what that takes, what it breaks.

Rock enters as a loose bed, is gripped where the rolls leave it just enough room, and leaves as a
flake. Lumps too large for the gripped bed are broken one by one before it. At the open ends of the
rolls the bed gives way sideways, and its rock is not pressed. What is still over the gap is broken
one by one as it leaves. The zones are those of Morrell, Tondo & Shi (1997), the grip and the forces
those of Torres & Casali (2009); both from memory.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, by_class, class_sizes, column, per_case, size_grid
from hoggin.models.breakage import classification
from hoggin.models.following import mean_of_rocks
from hoggin.models.points import Band, Fineness
from hoggin.models.two_term import repeated_two_term, two_term

_WIDTH = 0.18  # log size of a class where the chance of breakage changes
_SURE = 1.25  # times the room that a lump has, from which it is always broken; common practice
_DOUBLINGS = 4  # 16 stages: within a few per cent of a bed that does not mix
_KPA_PER_MPA, _KJ_PER_KWH = 1000.0, 3600.0
_SQUEEZED = 1e-9  # least by which a flake is denser than the loose bed
_MOST_EDGE = 0.5  # of the rolls' width
_REFERENCE_MM = 10.0  # size that `rate` is stated for


class Grip(NamedTuple):
    """Angle at which rolls grip the bed, rad, and the room between them there, mm; each (B,)."""

    angle_rad: Array
    room_mm: Array


def bed_grip(
    *,
    diameter: ArrayLike,
    gap: ArrayLike,
    flake_share: ArrayLike,
    solid_density_t_m3: ArrayLike,
    bulk_density_t_m3: ArrayLike,
) -> Grip:
    """Where two rolls grip a bed of rock.

    The bed moves with the rolls from there on, so its mass flow at the angle a is that at the gap:
    bulk density x (gap + D (1 - cos a)) cos a = flake density x gap.

    Args:
        diameter, gap: (B,) of the rolls and between them, mm; the gap far below the diameter.
        flake_share: (B,) density of the flake over that of the solid rock.
        solid_density_t_m3, bulk_density_t_m3: (B,) of the rock, t/m3. A flake is held at no less
            than the bulk density, and at what the rolls can grip.

    Returns:
        Grip.

    Source: conservation of mass; as in Torres & Casali (2009), from memory.

    Example, by hand: the mass flow is the same, 1.6 x 36.27 mm x 0.9887 at the grip and 0.85 x 2.7
    x 25 mm at the gap.

    >>> grip = bed_grip(
    ...     diameter=1000.0, gap=25.0, flake_share=0.85, solid_density_t_m3=2.7,
    ...     bulk_density_t_m3=1.6,
    ... )
    >>> grip.room_mm.round(2), np.cos(grip.angle_rad).round(4)
    (array([36.27]), array([0.9887]))
    """
    roll, opening = per_case(diameter), per_case(gap)
    denser = per_case(flake_share) * per_case(solid_density_t_m3) / per_case(bulk_density_t_m3)
    denser = np.maximum(denser, 1.0 + _SQUEEZED)
    under_root = np.maximum((opening + roll) ** 2 - 4.0 * roll * opening * denser, 0.0)
    cosine = np.minimum((opening + roll + np.sqrt(under_root)) / (2.0 * roll), 1.0)
    return Grip(np.arccos(cosine), opening + roll * (1.0 - cosine))


def specific_energy_kwh_t(
    *,
    specific_force: ArrayLike,
    diameter: ArrayLike,
    gap: ArrayLike,
    flake_share: ArrayLike,
    acting_share: ArrayLike,
    solid_density_t_m3: ArrayLike,
    bulk_density_t_m3: ArrayLike,
) -> Array:
    """Energy that two pressed rolls give a tonne of rock, whatever their width and speed.

    The force F = specific force x D x L acts at a share of the angle of grip; both rolls turn
    against it with the power 2 F sin(share x a) u, while 3600 x gap x L x flake density x u passes.

    The arguments that are not listed are those of `bed_grip`.

    Args:
        specific_force: (B,) force over diameter times width, MPa.
        acting_share: (B,) angle at which the force acts over the angle of grip.

    Returns:
        (B,) kWh/t.

    Source: statics; as in Torres & Casali (2009), from memory.
    """
    grip = bed_grip(
        diameter=diameter,
        gap=gap,
        flake_share=flake_share,
        solid_density_t_m3=solid_density_t_m3,
        bulk_density_t_m3=bulk_density_t_m3,
    )
    lever = np.sin(per_case(acting_share) * grip.angle_rad)
    work_kj_m2 = 2.0 * _KPA_PER_MPA * per_case(specific_force) * per_case(diameter) * lever
    flake_t_m2 = per_case(gap) * per_case(flake_share) * per_case(solid_density_t_m3)
    return np.asarray(work_kj_m2 / (_KJ_PER_KWH * flake_t_m2))


def pressed_operator(
    edges_mm: ArrayLike,
    *,
    diameter: ArrayLike,
    width: ArrayLike,
    gap: ArrayLike,
    specific_force: ArrayLike,
    flake_share: ArrayLike = 0.85,
    acting_share: ArrayLike = 0.5,
    edge_gaps: ArrayLike = 1.5,
    rate: ArrayLike = 0.8,
    rate_exponent: ArrayLike = 0.5,
    fines_share: ArrayLike = 0.2,
    fines_exponent: ArrayLike = 0.5,
    coarse_exponent: ArrayLike = 2.5,
    single_fines_share: ArrayLike = 0.16,
    usual_work_index: ArrayLike = 15.0,
    work_index_kwh_t: ArrayLike = 15.0,
    solid_density_t_m3: ArrayLike = 2.7,
    bulk_density_t_m3: ArrayLike = 1.6,
    rock_shares: ArrayLike | None = None,
    points_mm: ArrayLike | None = None,
) -> Array:
    """Product of high-pressure rolls: lumps broken singly, then the bed by its energy, with edges.

    In the bed a size is broken at the rate `rate` (d / 10 mm)^exponent a kWh/t, less for harder
    rock; the energy is spent in 16 equal stages: dp/dE = (B - I) S p in nearly plug flow. Lumps
    over the room at the grip are broken singly until the bed takes them, and what is over the gap
    after it until it passes. At the edges nothing else breaks.

    Args:
        edges_mm: (n + 1,) class limits, mm, strictly falling to 0.
        diameter, width, gap: (B,) mm.
        specific_force, flake_share, acting_share: (B,) as in `specific_energy_kwh_t`.
        edge_gaps: (B,) width of each of the two edges over the gap.
        rate, rate_exponent: (B,) t/kWh at 10 mm, and a pure number.
        fines_share, fines_exponent, coarse_exponent: (B,) of `breakage.breakage_matrix`.
        single_fines_share: (B,) share of fines of what is broken singly.
        usual_work_index: (B,) of the rock of `rate`, kWh/t.
        work_index_kwh_t, solid_density_t_m3, bulk_density_t_m3: (B,), or (B, K) of each rock with
            `rock_shares`, (B, K) mass fraction of each in the feed.
        points_mm: (n,) mm, the size that stands for each class, as in `points`; without it the
            class is averaged.

    Returns:
        (B, n, n) operator.

    Raises:
        ValueError: if the edges do not fall to 0.

    Source: zones, Morrell, Tondo & Shi (1997); breakage by energy, Herbst & Fuerstenau (1980) and
    Torres & Casali (2009); all from memory.
    """
    edges = size_grid(edges_mm)
    bed = _bed(diameter, gap, flake_share, solid_density_t_m3, bulk_density_t_m3, rock_shares)
    energy = specific_energy_kwh_t(specific_force=specific_force, acting_share=acting_share, **bed)
    softer = per_case(usual_work_index) / mean_of_rocks(work_index_kwh_t, rock_shares)
    shape = {"fines_exponent": fines_exponent, "coarse_exponent": coarse_exponent}
    pressed = two_term(edges, fines_share=fines_share, **shape, points_mm=points_mm)
    sizes, weights = class_sizes(edges, points_mm)
    faster = (sizes / _REFERENCE_MM) ** per_case(rate_exponent)[:, np.newaxis, np.newaxis] @ weights
    stage = column(rate) * column(energy * softer) / 2**_DOUBLINGS * faster
    stage[:, -1] = 0.0
    product = repeated_two_term(pressed, stage / (1.0 + stage))  # a stage that is mixed
    for _ in range(_DOUBLINGS):
        product = product @ product

    singly = two_term(edges, fines_share=single_fines_share, **shape, points_mm=points_mm)

    def let_through(room_mm: Array) -> Array:
        chances = classification(edges, k1=room_mm, k2=_SURE * room_mm, points_mm=points_mm)
        return repeated_two_term(singly, chances)

    at_edges = np.minimum(2.0 * per_case(edge_gaps) * per_case(gap) / per_case(width), _MOST_EDGE)
    edge = at_edges[:, np.newaxis, np.newaxis]
    zones = (1.0 - edge) * product + edge * np.eye(len(edges) - 1)
    found: Array = let_through(per_case(gap)) @ zones @ let_through(bed_grip(**bed).room_mm)
    return found


def pressing_energy(
    edges_mm: ArrayLike,
    feed_t_h: ArrayLike,
    *,
    specific_force: ArrayLike,
    acting_share: ArrayLike = 0.5,
    diameter: ArrayLike,
    gap: ArrayLike,
    flake_share: ArrayLike = 0.85,
    solid_density_t_m3: ArrayLike = 2.7,
    bulk_density_t_m3: ArrayLike = 1.6,
    rock_shares: ArrayLike | None = None,
    **others: ArrayLike | None,
) -> Array:
    """Energy that the rolls give a tonne of feed: `specific_energy_kwh_t`.

    Args:
        feed_t_h: (B, n) feed by class.
        others: the other arguments of `pressed_operator`, not used.

    Returns:
        (B,) kWh/t; 0 without feed.

    Source: as `specific_energy_kwh_t`.
    """
    del edges_mm, others
    bed = _bed(diameter, gap, flake_share, solid_density_t_m3, bulk_density_t_m3, rock_shares)
    energy = specific_energy_kwh_t(specific_force=specific_force, acting_share=acting_share, **bed)
    return np.where(by_class(feed_t_h).sum(axis=1) > 0.0, energy, 0.0)


def pressed_fineness(
    *,
    diameter: float,
    gap: float,
    flake_share: float,
    solid_density_t_m3: float = 2.7,
    bulk_density_t_m3: float = 1.6,
) -> Fineness:
    """Classes for `pressed_operator`: lumps are broken from the room at the grip before the bed,
    and from the gap after it."""
    grip = bed_grip(
        diameter=diameter,
        gap=gap,
        flake_share=flake_share,
        solid_density_t_m3=solid_density_t_m3,
        bulk_density_t_m3=bulk_density_t_m3,
    )
    room = float(grip.room_mm[0])
    kinks = tuple(times * size for size in (gap, room) for times in (1.0, _SURE))
    return Fineness(kinks, (Band(min(kinks), max(kinks), _WIDTH),), (gap, room))


def _bed(
    diameter: ArrayLike,
    gap: ArrayLike,
    flake_share: ArrayLike,
    solid_density_t_m3: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    rock_shares: ArrayLike | None,
) -> dict[str, ArrayLike]:
    """The arguments of `bed_grip` for a blend, whose rocks add their volumes."""
    solid, bulk = (
        1.0 / mean_of_rocks(1.0 / np.asarray(density, dtype=np.float64), rock_shares)
        for density in (solid_density_t_m3, bulk_density_t_m3)
    )
    return {
        "diameter": diameter,
        "gap": gap,
        "flake_share": flake_share,
        "solid_density_t_m3": solid,
        "bulk_density_t_m3": bulk,
    }
