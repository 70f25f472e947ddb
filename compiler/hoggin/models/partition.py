"""Which sizes a screen deck keeps: a cut size, and the curve around it.

A deck's aperture here is that of the square mesh it equals (`screens.equivalent_square_mm`).
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import (
    CLASS_POINTS,
    CLASS_WEIGHTS,
    Array,
    by_class,
    class_sizes,
    column,
    over,
    per_case,
    share_below,
    size_grid,
)
from hoggin.models.damp import BLINDING, DAMP_CLINGING, blinded_share, clinging_share
from hoggin.models.points import Band, Fineness
from hoggin.models.screens import bed_depth_mm, usual_open_area

# Factor E, wet screening, is piecewise linear in T = 1.26 h_T (h_T in mm).
_WET_T = np.array([1.0, 2.0, 4.0, 6.0, 10.0, 12.0, 16.0, 24.0, 32.0])
_WET_E = np.array([1.0, 2.0, 2.5, 2.5, 2.0, 1.5, 1.3, 1.2, 1.15])

# Floors that keep the cut size finite on an empty deck and on one with near-size rock only.
_LEAST_LOAD = 0.02
_LEAST_NEAR_SIZE_FACTOR = 0.01
_READ = np.array(
    [0.5, 0.75, 1.0, 1.25]
)  # sizes whose passing is read, over the through-fall aperture
_LEAST_CAPACITY = 0.5  # t/h/m2, where the formula for fine openings turns negative

# Beyond Karra's range: what a deck lets through levels off near twice its capacity, so there its
# cut falls as 1 / load (of a feed that passes in proportion to size, the tonnes through then stay
# the same); a bed deeper than its limit counts as more load. Common practice, no source.
_MOST_LOAD, _OVERLOAD_SHARPNESS, _OVERLOAD_EXPONENT = 2.5, 8.0, 1.0 - 0.148
_BED_SHARPNESS = 4.0

_CUT_WIDTH = 1.15  # log size of a class about the cut, times the sharpness

# Areas that are searched for one that separates as wanted, m2, and how often the span is halved:
# to 1e-4 of the area.
_LEAST_AREA_M2, _MOST_AREA_M2, _HALVINGS = 0.01, 1e4, 18
_AT_ONCE = 3  # halvings of a single case: seven areas take hardly longer than one

CLINGING_SIZE_MM = 0.5
"""Size at which clinging has fallen to 1/e: dust rides on coarser pieces, sand hardly does.
Common practice, no source."""


def karra_cut_size(
    edges_mm: ArrayLike,
    feed_t_h: ArrayLike,
    *,
    aperture_mm: ArrayLike,
    area_m2: ArrayLike,
    deck_number: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    open_area: ArrayLike | None = None,
    inclination: ArrayLike = 0.0,
    wet: ArrayLike = 0.0,
    width: ArrayLike = 0.0,
    travel_speed: ArrayLike = 0.4,
    max_bed_factor: ArrayLike = 4.0,
    blinding: ArrayLike = BLINDING,
    moisture: ArrayLike = 0.0,
    clay: ArrayLike = 0.0,
) -> Array:
    """Cut size of a deck under its load: d50 = h_T (Gc / K)^0.148.

    K is the undersize fed, t/h/m2, over the capacity A B C D E F; Gc = 0.844 (1 - Xn)^3.453 the
    near-size factor. The through-fall aperture h_T = (h + w) cos(slope) - w, the wire w from
    aperture and open area of a square mesh. An empty deck, and one whose feed has no undersize,
    cut at the limit of a light load (d50 above the aperture); K and Gc are held above small
    floors, smoothly (K' = sqrt(K^2 + 0.02^2)), which moves a loaded deck's d50 by less than 1e-4.

    The factors, all of them: A basic capacity by h_T, B oversize, C half-size, D deck (1.1 - 0.1
    times its number from the top), E wet screening, F bulk density over 1.602 t/m3, Gc near size.
    Range: fitted to decks of crushed rock loaded near their capacity, so a lightly loaded deck is
    an extrapolation; the formula for A turns negative at h_T 0.6 mm and is not reliable
    below about 1 mm; D is stated for up to four decks. The range as a whole is from memory.

    Three things are added, all common practice without a source. Above about twice its capacity a
    deck passes no more: d50 is multiplied by (1 + (K / 2.5)^8)^(-0.852 / 8). And a deep bed keeps
    fines from the mesh: where the oversize lies deeper at the discharge than `max_bed_factor`
    apertures, K counts (1 + (bed / limit)^4)^(1/4) times. And openings that damp fines close
    (`damp.blinded_share`) are so much less area.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        feed_t_h: (B, n) feed of the deck by class, t/h.
        aperture_mm: (B,) equivalent square aperture, mm.
        area_m2: (B,) deck area, m2.
        deck_number: (B,) 1 for the top deck.
        bulk_density_t_m3: (B,) bulk density of the feed, t/m3.
        open_area: (B,) open fraction of the deck; by default that usual for the aperture.
        inclination: (B,) slope to the horizontal, degrees.
        wet: (B,) 0 dry to 1 with spray water.
        width: (B,) width of the deck, mm; 0 leaves the depth of the bed out.
        travel_speed: (B,) speed of the bed along the deck, m/s.
        max_bed_factor: (B,) limit of the bed's depth at the discharge, over the aperture.
        blinding: (B,) largest share of the openings that damp fines close.
        moisture: (B,) surface water over dry solids of the feed; 0 where the deck is washed.
        clay: (B,) over dry solids.

    Returns:
        (B,) cut size, mm.

    Raises:
        ValueError: if the edges do not fall to 0.

    Source: Karra (1979), CIM Bulletin; as in King (2001), ch. 4. Constants from memory.
    """
    through = throughfall_mm(aperture_mm, open_area=open_area, inclination=inclination)
    deck = _deck_state(edges_mm, feed_t_h, through, deck_number, bulk_density_t_m3, wet)
    closed = blinded_share(aperture_mm, moisture=moisture, clay=clay, blinding=blinding)
    area = per_case(area_m2) * (1.0 - closed)
    load = deck.undersize_t_h / area / deck.capacity_t_h_m2
    width_m = per_case(width) / 1000.0
    bed = bed_depth_mm(
        deck.oversize_t_h,
        bulk_density_t_m3=bulk_density_t_m3,
        width_m=np.where(width_m > 0.0, width_m, np.inf),
        travel_speed_m_s=travel_speed,
    )
    crowded = bed / (per_case(max_bed_factor) * per_case(aperture_mm))
    load = load * (1.0 + crowded**_BED_SHARPNESS) ** (1.0 / _BED_SHARPNESS)
    load = np.hypot(load, _LEAST_LOAD)
    overload = (1.0 + (load / _MOST_LOAD) ** _OVERLOAD_SHARPNESS) ** (
        _OVERLOAD_EXPONENT / _OVERLOAD_SHARPNESS
    )
    return deck.through_mm * (deck.near_size_factor / load) ** 0.148 / overload


def karra_fineness(
    *,
    aperture_mm: float,
    inclination: float,
    sharpness: float,
    open_area: float | None = None,
) -> Fineness:
    """Classes for `karra_cut_size`, which reads what passes four sizes."""
    through = throughfall_mm(aperture_mm, open_area=open_area, inclination=inclination)[0]
    read = tuple(float(through) * share for share in _READ)
    return Fineness(read, (_cut_band(aperture_mm, aperture_mm, sharpness),))


def fixed_fineness(*, aperture_mm: float, ratio: float, sharpness: float) -> Fineness:
    """Classes for `oversize` about a cut size that is known."""
    return Fineness((), (_cut_band(ratio * aperture_mm, aperture_mm, sharpness),))


def _cut_band(cut_mm: float, aperture_mm: float, sharpness: float) -> Band:
    """Where the partition curve falls from all kept to near none."""
    top = min(aperture_mm, cut_mm * math.exp(2.0 / sharpness))
    return Band(min(cut_mm, top) * math.exp(-3.0 / sharpness), top, _CUT_WIDTH / sharpness)


def karra_area_m2(
    edges_mm: ArrayLike,
    feed_t_h: ArrayLike,
    *,
    efficiency: ArrayLike,
    aperture_mm: ArrayLike,
    deck_number: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    open_area: ArrayLike | None = None,
    inclination: ArrayLike = 0.0,
    wet: ArrayLike = 0.0,
    sharpness: ArrayLike = 5.846,
    clinging: ArrayLike = 0.0,
    damp_clinging: ArrayLike = DAMP_CLINGING,
    width: ArrayLike = 0.0,
    travel_speed: ArrayLike = 0.4,
    max_bed_factor: ArrayLike = 4.0,
    blinding: ArrayLike = BLINDING,
    moisture: ArrayLike = 0.0,
    clay: ArrayLike = 0.0,
) -> Array:
    """Area at which a deck passes the share `efficiency` of its undersize.

    The inverse of `karra_cut_size` and `oversize`, whose other arguments, range and errors it
    shares. The width stays as it is: what is sought is length.

    Args:
        efficiency: (B,) share of the feed finer than the aperture that is to pass, 0 to 1.

    Returns:
        (B,) area, m2; 0 for a deck without undersize, 10,000 where no area passes so much.

    Source: Karra (1979), CIM Bulletin; as in King (2001), ch. 4. Constants from memory.
    """
    edges, feed = size_grid(edges_mm), np.maximum(by_class(feed_t_h), 0.0)
    opening = per_case(aperture_mm)
    finer = feed * share_below(edges, opening)
    fed = finer.sum(axis=1)

    loaded = (deck_number, bulk_density_t_m3, inclination, wet, width, travel_speed, max_bed_factor)
    passing = (
        blinding,
        moisture,
        clay,
        sharpness,
        clinging,
        damp_clinging,
        efficiency,
        aperture_mm,
    )
    given = (*loaded, *passing, 0.0 if open_area is None else open_area)
    wanted, cases = per_case(efficiency), max(len(fed), *(len(per_case(one)) for one in given))

    def efficiency_at(log_area: Array) -> Array:
        cut = karra_cut_size(
            edges,
            feed,
            aperture_mm=opening,
            area_m2=np.exp(log_area),
            deck_number=deck_number,
            bulk_density_t_m3=bulk_density_t_m3,
            open_area=open_area,
            inclination=inclination,
            wet=wet,
            width=width,
            travel_speed=travel_speed,
            max_bed_factor=max_bed_factor,
            blinding=blinding,
            moisture=moisture,
            clay=clay,
        )
        kept = oversize(
            edges,
            cut,
            aperture_mm=opening,
            sharpness=sharpness,
            clinging=clinging,
            damp_clinging=damp_clinging,
            moisture=moisture,
        )
        return 1.0 - over((finer * kept).sum(axis=1), fed, empty=0.0)

    ends = (np.log(_LEAST_AREA_M2), np.log(_MOST_AREA_M2))
    least, most = (np.full(cases, end) for end in ends)
    at_once = _AT_ONCE if cases == 1 else 1
    for _ in range(0, _HALVINGS, at_once):
        limits = _halved(least, most, at_once)
        found = efficiency_at(limits[1:-1].ravel()).reshape(-1, cases)
        below = (found < wanted).sum(axis=0)  # a larger area passes more
        least, most = limits[below, range(cases)], limits[below + 1, range(cases)]
    return np.where(fed > 0.0, np.exp(most), 0.0)


def _halved(low: Array, high: Array, times: int) -> Array:
    """Limits (2^times + 1, B) of the parts of (B,) ranges that are halved so many times."""
    limits = np.stack([low, high])
    for _ in range(times):
        finer = np.empty((2 * len(limits) - 1, len(low)))
        finer[::2], finer[1::2] = limits, 0.5 * (limits[:-1] + limits[1:])
        limits = finer
    return limits


class _DeckState(NamedTuple):
    """What Karra's method reads from a deck's feed; each (B,)."""

    through_mm: Array
    undersize_t_h: Array
    oversize_t_h: Array
    capacity_t_h_m2: Array  # A B C D E F
    near_size_factor: Array  # Gc


def _deck_state(
    edges_mm: ArrayLike,
    feed_t_h: ArrayLike,
    through_mm: Array,
    deck_number: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    wet: ArrayLike,
) -> _DeckState:
    edges, feed = size_grid(edges_mm), np.maximum(by_class(feed_t_h), 0.0)
    total = feed.sum(axis=1)
    read = (_READ[:, np.newaxis] * through_mm).ravel()
    shares = share_below(edges, read).reshape(len(_READ), len(through_mm), -1)
    half, lower, undersize, upper = np.einsum("rbn,bn->rb", shares, feed)

    def fraction(part: Array) -> Array:
        return over(part, total, empty=0.0)

    capacity = (
        _basic_capacity(through_mm)
        * _oversize_factor(fraction(total - undersize))
        * _half_size_factor(fraction(half))
        * (1.1 - 0.1 * per_case(deck_number))
        * _wet_factor(through_mm, per_case(wet))
        * per_case(bulk_density_t_m3)
        / 1.602
    )
    near = fraction(upper - lower)
    near_size = np.hypot(0.844 * np.maximum(1.0 - near, 0.0) ** 3.453, _LEAST_NEAR_SIZE_FACTOR)
    return _DeckState(through_mm, undersize, total - undersize, capacity, near_size)


def throughfall_mm(
    aperture_mm: ArrayLike, *, open_area: ArrayLike | None, inclination: ArrayLike
) -> Array:
    """Aperture as a falling particle sees it, h_T = (h + w) cos(slope) - w, (B,) mm.

    The wire w is that of a square mesh of this aperture and open area, (h / (h + w))^2 = open
    area. Held to at least a tenth of the aperture, below which the formula has no meaning.

    Source: King (2001), ch. 4, from memory.

    Example, by hand: 20 mm of 64 % open area has wires of 5 mm: 25 cos(20 degrees) - 5.

    >>> throughfall_mm(20.0, open_area=0.64, inclination=20.0).round(2)
    array([18.49])
    """
    aperture = per_case(aperture_mm)
    open_fraction = usual_open_area(aperture) if open_area is None else per_case(open_area)
    wire = aperture * (1.0 / np.sqrt(open_fraction) - 1.0)
    through = (aperture + wire) * np.cos(np.radians(per_case(inclination))) - wire
    return np.maximum(through, 0.1 * aperture)


def _basic_capacity(through_mm: Array) -> Array:
    """Factor A, t/h/m2. The two published branches meet within 0.7 t/h/m2 at 50.8 mm."""
    fine = 12.13 * through_mm**0.32 - 10.3
    coarse = 0.3388 * through_mm + 14.41
    return np.maximum(np.where(through_mm < 50.8, fine, coarse), _LEAST_CAPACITY)


def _oversize_factor(oversize: Array) -> Array:
    """Factor B, from the fraction of the feed coarser than h_T; two published branches.

    They leave a step of 4 % at 0.87. An iteration on load needs a continuous cut, so the branches
    change where they cross, at 0.877. `_half_size_factor` does the same with steps below 2 %.
    """
    return np.minimum(1.6 - 1.2 * oversize, 4.275 - 4.25 * oversize)


def _half_size_factor(half: Array) -> Array:
    """Factor C, from the fraction of the feed finer than half h_T; four published branches."""
    lower = np.maximum(1.2 * half + 0.7, 2.053 * half**0.564)
    upper = np.maximum(3.35 * half**1.37, 5.0 * half - 1.5)
    return np.maximum(lower, upper)


def _wet_factor(through_mm: Array, wet: Array) -> Array:
    """Factor E: 1 dry, the table when wet."""
    factor: Array = 1.0 + wet * (np.interp(1.26 * through_mm, _WET_T, _WET_E) - 1.0)
    return factor


def fixed_cut_size(
    edges_mm: ArrayLike, feed_t_h: ArrayLike, *, aperture_mm: ArrayLike, ratio: ArrayLike = 0.9
) -> Array:
    """Cut size at a fixed ratio to the aperture, whatever the load.

    Args:
        edges_mm: (n + 1,) class limits, mm; not used, every partition model is given them.
        feed_t_h: (B, n) feed of the deck by class; only its number of cases counts.
        aperture_mm: (B,) equivalent square aperture, mm.
        ratio: (B,) cut size over aperture.

    Returns:
        (B,) cut size, mm.

    Source: common practice, no source.

    Example, by hand: 0.9 x 20 mm.

    >>> fixed_cut_size([40.0, 20.0, 0.0], [[50.0, 50.0]], aperture_mm=20.0, ratio=0.9)
    array([18.])
    """
    del edges_mm
    cases = by_class(feed_t_h).shape[0]
    return per_case(ratio) * per_case(aperture_mm) * np.ones(cases)


def oversize(
    edges_mm: ArrayLike,
    cut_size_mm: ArrayLike,
    *,
    aperture_mm: ArrayLike,
    sharpness: ArrayLike = 5.846,
    clinging: ArrayLike = 0.0,
    damp_clinging: ArrayLike = DAMP_CLINGING,
    moisture: ArrayLike = 0.0,
    points_mm: ArrayLike | None = None,
) -> Array:
    """Fraction of each class that a deck keeps: c(d) = 1 - exp(-0.693 (d / d50)^s).

    Averaged over each class uniformly in size. Nothing coarser than the aperture falls through:
    a class above it is kept whole, and of a class that straddles it the part above.

    Of the rest, the share `clinging` exp(-d / 0.5 mm) rides over on coarser pieces: dust that
    stays with stone, more of it where the stone is damp (`damp.clinging_share`; common practice,
    no source).

    Args:
        edges_mm: (n + 1,) class limits, mm; the aperture had better be one.
        cut_size_mm: (B,) d50, mm.
        aperture_mm: (B,) equivalent square aperture, mm.
        sharpness: (B,) exponent s, 5.846 in Karra's data.
        clinging: (B,) share of the finest that clings to the oversize if that is dry.
        damp_clinging: (B,) times as much clings at 5 % moisture and above.
        moisture: (B,) surface water over dry solids of the feed; 0 where the deck is washed.
        points_mm: (n,) mm, the size that stands for each class, as in `points`; without it the
            class is averaged.

    Returns:
        (B, n) fraction to oversize, 0 to 1; where nothing clings, never rising toward finer
        classes.

    Raises:
        ValueError: if the edges do not fall to 0.

    Source: Karra (1979), as in King (2001), ch. 4; from memory.

    Example, by hand: all above the aperture; half at the cut size; 1 - 0.5^(1/4) at half of it,
    with s = 2.

    >>> oversize(
    ...     [40.0, 20.0, 14.0, 0.0], 16.0, aperture_mm=20.0, sharpness=2.0,
    ...     points_mm=[30.0, 16.0, 8.0],
    ... ).round(3)
    array([[1.   , 0.5  , 0.159]])
    """
    edges = size_grid(edges_mm)
    cut, opening, exponent = column(cut_size_mm), column(aperture_mm), column(sharpness)
    # Classes wholly above every opening are kept, whatever the cut.
    above = int(np.count_nonzero(edges[1:] >= opening.max()))
    upper, lower = edges[above:-1], edges[above + 1 :]
    end = np.clip(opening, lower, upper)
    sizes, weights = (
        lower[:, np.newaxis] + (end - lower)[..., np.newaxis] * CLASS_POINTS,
        CLASS_WEIGHTS,
    )
    if points_mm is not None:
        sizes, weights = class_sizes(edges[above:], np.asarray(points_mm)[above:])
    # (d / d50)^s as two factors, of which that over the classes is often the same in all cases.
    in_openings = (sizes / opening[..., np.newaxis]) ** exponent[..., np.newaxis]
    steepness = np.log(2.0) * (opening / cut) ** exponent
    falling = np.exp(-steepness[..., np.newaxis] * in_openings)
    clings = clinging_share(clinging, moisture=moisture, damp_clinging=damp_clinging)
    if np.any(clings > 0.0):
        dust = np.exp(-sizes / CLINGING_SIZE_MM)
        falling = falling * (1.0 - clings[:, np.newaxis, np.newaxis] * dust)
    falls = falling @ weights
    below_opening = (end - lower) / (upper - lower)
    fraction = np.ones((falls.shape[0], edges.size - 1))
    fraction[:, above:] = np.clip(1.0 - below_opening * falls, 0.0, 1.0)
    return fraction
