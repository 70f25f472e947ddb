"""How much deck a screen needs, and how deep the bed lies on it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, by_class, per_case, share_below, size_grid

SQUARE_EQUIVALENT = {"square": 1.0, "round": 0.8, "slotted": 1.2}
"""Equal square aperture over nominal size, by shape of opening.

Round: the trade takes a round hole 1.25 times the square mesh for the same cut. Slotted: rock
thinner than the slot passes on edge. Common practice, no source; from memory.
"""

OPENING_FACTOR = {"square": 1.0, "round": 0.8, "slotted": 1.15}
"""Factor H of the area method: square 1 as published; round and slotted from memory."""

# H of a slot by its length over its width: 1 under 2, as a square, 1.15 to 4, 1.20 above. Memory.
_SHORT_SLOT, _LONG_SLOT = (2.0, 1.15), (4.0, 1.20)

# The association's tables, in the US units they are published in.
# A: opening in, open area fraction, basic capacity stph/ft2.
_OPENING_IN, _BASIC_OPEN_AREA, _BASIC_STPH_FT2 = np.array(
    [
        (0.03125, 0.41, 0.39),
        (0.0625, 0.37, 0.58),
        (0.09375, 0.45, 0.76),
        (0.125, 0.40, 0.95),
        (0.1875, 0.45, 1.27),
        (0.25, 0.46, 1.60),
        (0.375, 0.51, 2.08),
        (0.5, 0.54, 2.47),
        (0.625, 0.59, 2.82),
        (0.75, 0.61, 3.08),
        (0.875, 0.63, 3.38),
        (1.0, 0.64, 3.56),
        (1.25, 0.66, 3.89),
        (1.5, 0.69, 4.20),
        (1.75, 0.68, 4.51),
        (2.0, 0.71, 4.90),
        (2.5, 0.72, 5.52),
        (2.75, 0.74, 5.85),
        (3.0, 0.74, 6.17),
        (3.5, 0.77, 7.03),
        (4.0, 0.75, 7.69),
    ]
).T
# B: fraction oversize from 5 % to 95 %, every 5 %.
_OVERSIZE = np.linspace(0.05, 0.95, 19)
_OVERSIZE_FACTOR = np.array(
    [
        *(1.21, 1.13, 1.08, 1.02, 1.00, 0.96, 0.92, 0.88, 0.84, 0.79),
        *(0.75, 0.70, 0.66, 0.62, 0.58, 0.53, 0.50, 0.46, 0.33),
    ]
)
# C: fraction finer than half the opening, from 0 to 90 %, every 5 %.
_HALF_SIZE = np.linspace(0.0, 0.90, 19)
_HALF_SIZE_FACTOR = np.array(
    [
        *(0.40, 0.45, 0.50, 0.55, 0.60, 0.70, 0.80, 0.90, 1.00, 1.10),
        *(1.20, 1.30, 1.40, 1.55, 1.70, 1.85, 2.00, 2.20, 2.40),
    ]
)
# E: opening in, factor with spray water. Memory: the table of handbooks. A public wire-cloth
# reference has no more than 1.00 to 1.25 (looked up): with that a wet deck is rated more strictly.
_WET_OPENING_IN, _WET_FACTOR = np.array(
    [
        (1 / 32, 1.00),
        (1 / 16, 1.25),
        (1 / 8, 2.00),
        (3 / 16, 2.50),
        (1 / 4, 2.00),
        (3 / 8, 1.75),
        (1 / 2, 1.40),
        (3 / 4, 1.30),
        (1.0, 1.25),
    ]
).T
# D: top, second, third deck. J: efficiency wanted.
_DECK, _DECK_FACTOR = np.array([(1.0, 1.00), (2.0, 0.90), (3.0, 0.80)]).T
_EFFICIENCY = np.array([0.70, 0.75, 0.80, 0.85, 0.90, 0.95])
_EFFICIENCY_FACTOR = np.array([1.90, 1.70, 1.50, 1.35, 1.15, 1.00])  # below 95 % from memory

_MM_PER_INCH = 25.4
_SHORT_TONS_PER_TONNE = 1.0 / 0.90718474
_FT2_PER_M2 = 1.0 / 0.09290304
_LB_FT3_PER_T_M3 = 62.427960576
_RINSE_M3_T = 5.0 * 0.003785411784 * 60.0 * _SHORT_TONS_PER_TONNE  # 5 US gal/min per stph


def needed_area(
    edges_mm: ArrayLike,
    feed_t_h: ArrayLike,
    *,
    aperture_mm: ArrayLike,
    deck_number: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    open_area: ArrayLike | None = None,
    shape_factor: ArrayLike = 1.0,
    wet: ArrayLike = 0.0,
    efficiency: ArrayLike = 0.95,
) -> Array:
    """Area a deck needs for its own feed: U / (A B C D E F G H J).

    U is the feed finer than the aperture; A basic capacity of the opening, B oversize, C
    half-size, D deck, E wet, F bulk density over 100 lb/ft3, G open area over that of table A,
    H shape of opening, J efficiency. Tables are read by straight lines in their variable, A and
    its open area in the logarithm of the opening. Beyond a table its end value is taken: openings
    under 1/32 in and over 4 in, decks below the third.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        feed_t_h: (B, n) feed of the deck by class, t/h.
        aperture_mm: (B,) opening, mm: the mesh, the hole's diameter or the slot's width.
        deck_number: (B,) 1 for the top deck.
        bulk_density_t_m3: (B,) bulk density of the feed, t/m3.
        open_area: (B,) open fraction of the deck used; by default that of table A.
        shape_factor: (B,) factor H, see `opening_factor`.
        wet: (B,) 0 dry to 1 with spray water: factor E of the opening.
        efficiency: (B,) share of the undersize to be removed.

    Returns:
        (B,) area, m2; 0 for an empty deck.

    Raises:
        ValueError: if the edges do not fall to 0.

    Source: screen makers' association factor method, as reproduced in public wire-cloth
    references (tables A to D and F to H looked up; E by opening and J below 95 % from memory;
    the reference that was read gives E as 1.00 to 1.25 without a table).

    Example: by the tables, 1 in square, dry, top deck, 100 lb/ft3. With a quarter oversize and 40 %
    under half size, B and C are 1: 150 t/h is 165.3 short tons, over 3.56 a square foot is 46.4
    ft2.

    >>> needed_area(
    ...     [50.8, 25.4, 12.7, 0.0], [[50.0, 70.0, 80.0]], aperture_mm=25.4, deck_number=1,
    ...     bulk_density_t_m3=1.6018,
    ... ).round(2)
    array([4.32])
    """
    edges, feed = size_grid(edges_mm), np.maximum(by_class(feed_t_h), 0.0)
    opening = per_case(aperture_mm)
    total = feed.sum(axis=1)
    carrying = np.where(total > 0.0, total, 1.0)
    undersize = (feed * share_below(edges, opening)).sum(axis=1)
    half = (feed * share_below(edges, 0.5 * opening)).sum(axis=1)
    log_opening = np.log(opening / _MM_PER_INCH)
    capacity_stph_ft2 = (
        np.interp(log_opening, np.log(_OPENING_IN), _BASIC_STPH_FT2)
        * np.interp(1.0 - undersize / carrying, _OVERSIZE, _OVERSIZE_FACTOR)
        * np.interp(half / carrying, _HALF_SIZE, _HALF_SIZE_FACTOR)
        * np.interp(per_case(deck_number), _DECK, _DECK_FACTOR)
        * (1.0 + per_case(wet) * (wet_factor(opening) - 1.0))
        * (per_case(bulk_density_t_m3) * _LB_FT3_PER_T_M3 / 100.0)
        * (1.0 if open_area is None else per_case(open_area) / usual_open_area(opening))
        * per_case(shape_factor)
        * np.interp(per_case(efficiency), _EFFICIENCY, _EFFICIENCY_FACTOR)
    )
    area: Array = undersize * _SHORT_TONS_PER_TONNE / capacity_stph_ft2 / _FT2_PER_M2
    return area


def unit_rate_area(
    edges_mm: ArrayLike,
    feed_t_h: ArrayLike,
    *,
    aperture_mm: ArrayLike,
    deck_number: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    open_area: ArrayLike | None = None,
    shape_factor: ArrayLike = 1.0,
    unit_rate: ArrayLike,
) -> Array:
    """Area a deck needs that takes so much feed on each square metre, whatever its opening: a
    dewatering deck, whose water drains through the bed.

    Args:
        feed_t_h: (B, n) feed of the deck by class, t/h.
        edges_mm, aperture_mm, deck_number, bulk_density_t_m3, open_area, shape_factor: not used;
            every area model is given them.
        unit_rate: (B,) t/h/m2.

    Returns:
        (B,) area, m2.

    Source: the class's own.
    """
    del edges_mm, aperture_mm, deck_number, bulk_density_t_m3, open_area, shape_factor
    area: Array = by_class(feed_t_h).sum(axis=1) / per_case(unit_rate)
    return area


def rinse_water_m3_h(feed_t_h: ArrayLike) -> Array:
    """Water that wet screening takes, (B,) m3/h, for a deck's feed, t/h.

    Source: screen makers' association, the lower of its 5 to 7 US gal/min for a short ton an hour;
    looked up.

    Example, by hand: 100 t/h is 110.2 short tons, at 5 gal/min 551 gal/min, of 3.785 l.

    >>> rinse_water_m3_h(100.0).round(1)
    array([125.2])
    """
    return _RINSE_M3_T * per_case(feed_t_h)


def usual_open_area(aperture_mm: ArrayLike) -> Array:
    """Open fraction of a woven deck of this opening, (B,): that of table A of the area method.

    Straight lines in the logarithm of the opening; beyond the table its end values.

    Source: screen makers' association, table A; looked up.
    """
    log_opening = np.log(per_case(aperture_mm) / _MM_PER_INCH)
    found: Array = np.interp(log_opening, np.log(_OPENING_IN), _BASIC_OPEN_AREA)
    return found


def wet_factor(aperture_mm: ArrayLike) -> Array:
    """Factor E of the area method for an opening that is sprayed, (B,); 1 beyond its table.

    Straight lines in the logarithm of the opening; 1.25 at 1 in falls to 1 at 2 in (the upper end
    is common practice, no source: spray helps no coarse deck).

    Source: handbook table, from memory.
    """
    log_opening = np.log(per_case(aperture_mm) / _MM_PER_INCH)
    sizes = np.log(np.append(_WET_OPENING_IN, 2.0))
    found: Array = np.interp(log_opening, sizes, np.append(_WET_FACTOR, 1.0))
    return found


def opening_factor(shape: str, slot_ratio: float | None = None) -> float:
    """Factor H of `needed_area`.

    Args:
        shape: "square", "round" or "slotted".
        slot_ratio: length of a slot over its width, where it is known: 1.00 under 2, 1.15 from 2,
            1.20 above 4. A slot whose length is not known gets 1.15.

    Raises:
        KeyError: for another shape.

    Source: screen makers' association: square 1.00 and slots above 1 looked up; the figures by
    length of slot from memory; round, common practice, no source.
    """
    if shape == "slotted" and slot_ratio is not None:
        if slot_ratio > _LONG_SLOT[0]:
            return _LONG_SLOT[1]
        return _SHORT_SLOT[1] if slot_ratio >= _SHORT_SLOT[0] else 1.0
    return OPENING_FACTOR[shape]


def equivalent_square_mm(aperture_mm: float, shape: str) -> float:
    """Square mesh, mm, that passes the same sizes as an opening of this shape.

    Raises:
        KeyError: for a shape other than "square", "round" and "slotted".

    Source: common practice, no source (`SQUARE_EQUIVALENT`).
    """
    return aperture_mm * SQUARE_EQUIVALENT[shape]


def bed_depth_mm(
    oversize_t_h: ArrayLike,
    *,
    bulk_density_t_m3: ArrayLike,
    width_m: ArrayLike,
    travel_speed_m_s: ArrayLike,
) -> Array:
    """Depth of the oversize where it leaves the deck, by conservation of mass.

    Args:
        oversize_t_h: (B,) oversize, t/h.
        bulk_density_t_m3: (B,) its bulk density, t/m3.
        width_m: (B,) deck width, m.
        travel_speed_m_s: (B,) travel speed of the bed, m/s.

    Returns:
        (B,) depth, mm.

    Example, by hand: 100 / 1.6 / 3600 m3/s over 2 m x 0.5 m/s.

    >>> bed_depth_mm(100.0, bulk_density_t_m3=1.6, width_m=2.0, travel_speed_m_s=0.5).round(1)
    array([17.4])
    """
    volume_m3_s = per_case(oversize_t_h) / per_case(bulk_density_t_m3) / 3600.0
    return 1000.0 * volume_m3_s / (per_case(width_m) * per_case(travel_speed_m_s))
