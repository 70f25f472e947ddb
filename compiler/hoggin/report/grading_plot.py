"""Grading curves of the products as SVG: size on a log axis, per cent passing, bands hatched."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from hoggin.report.paths import Point, path, pixel
from hoggin.report.templating import render
from hoggin.report.wording import PREDICTION, full_subtitle, percent, rate, shorten, sieve
from hoggin.schema.results import BandVerdict, ProductResult, Results

WIDTH, TOP, LEFT, RIGHT = 820.0, 74.0, 64.0, 24.0
PLOT_HEIGHT = 400.0
PLOT_WIDTH = WIDTH - LEFT - RIGHT
KEY_LINE = 20.0  # height of a line of the key under the plot
KEY_TEXT = 105  # characters a line of the key may hold
BADGE = 9.0  # radius of a numbered mark
TICKS = (1.0, 2.0, 5.0)  # in every decade of size
LEAST_PASSING, MOST_PASSING = 0.001, 0.999  # the curve is drawn out to where it leaves these
DASHES = ("", "9 4", "3 3", "12 4 3 4", "16 5", "6 3 2 3 2 3")
HATCHES = (45, 135, 0, 90)  # degrees
SLACK = 1.0001  # forgives the last digit of a size computed from its decade


@dataclass(frozen=True, slots=True)
class Axis:
    """Sizes in mm to places across the plot, on a log scale."""

    low_mm: float
    high_mm: float

    def across(self, mm: float) -> float:
        share = math.log(mm / self.low_mm) / math.log(self.high_mm / self.low_mm)
        return LEFT + PLOT_WIDTH * min(1.0, max(0.0, share))

    @property
    def ticks(self) -> tuple[float, ...]:
        decades = range(math.floor(math.log10(self.low_mm)), math.ceil(math.log10(self.high_mm)))
        sizes = (step * 10.0**decade for decade in (*decades, decades.stop) for step in TICKS)
        return tuple(mm for mm in sizes if self.low_mm / SLACK <= mm <= self.high_mm * SLACK)


@dataclass(frozen=True, slots=True)
class Mark:
    """A numbered badge; `at` is where it stands, `on` the point it speaks of."""

    number: int
    at: Point
    on: Point


@dataclass(frozen=True, slots=True)
class Key:
    """A line of the key: a swatch of the curve or band, or a numbered mark, then the words."""

    words: tuple[str, ...]
    dash: str | None = None
    hatch: int | None = None
    number: int | None = None


@dataclass(frozen=True, slots=True)
class Curve:
    path: str
    dash: str


@dataclass(frozen=True, slots=True)
class Region:
    path: str
    hatch: int


def one(results: Results, product: ProductResult) -> str:
    """A product's curve with the bands it is held to and its worst sieve on each."""
    axis = _axis([product], results)
    points = _points(axis, product, results)
    regions = [Region(_region(axis, b), n % len(HATCHES)) for n, b in enumerate(product.bands)]
    marks = _worst_marks(axis, product.bands, points)
    keys = [Key((f"{product.tag}: {rate(product.rate_t_h)} t/h",), dash="")]
    for number, band in enumerate(product.bands):
        keys.append(Key(_words(_verdict(band)), hatch=number % len(HATCHES)))
    keys += [
        Key(_words(_worst(band)), number=n)
        for n, band in enumerate(_with_worst(product.bands), start=1)
    ]
    if product.bands:
        keys.append(
            Key(("A specification holds at its sieves; lines between only guide the eye.",))
        )
    else:
        keys.append(Key(("No specification is asked of this product.",)))
    same = product.title == product.tag
    title = product.tag if same else f"{product.title} ({product.tag})"
    return _draw(results, title, axis, [Curve(path(points), "")], regions, marks, keys)


def together(results: Results) -> str:
    """Every product's curve on one plot, each told by its number and its dashes."""
    made = [product for product in results.products if product.rate_t_h > 0]
    axis = _axis(made, results)
    all_points = [_points(axis, product, results) for product in made]
    curves = [Curve(path(p), DASHES[n % len(DASHES)]) for n, p in enumerate(all_points)]
    marks = _curve_marks(all_points)
    keys = [
        Key(
            _words(f"{product.tag}, {product.title}: {rate(product.rate_t_h)} t/h"),
            dash=DASHES[n % len(DASHES)],
            number=n + 1,
        )
        for n, product in enumerate(made)
    ]
    return _draw(results, "All products", axis, curves, [], marks, keys)


def _words(text: str) -> tuple[str, ...]:
    return tuple(textwrap.wrap(shorten(text, 3 * KEY_TEXT), KEY_TEXT))


def _verdict(band: BandVerdict) -> str:
    return f"{'meets' if band.met else 'NOT MET:'} {band.name} ({band.source})"


def _with_worst(bands: Iterable[BandVerdict]) -> list[BandVerdict]:
    return [band for band in bands if band.worst_size_mm is not None]


def _worst(band: BandVerdict) -> str:
    """`12.5 mm: 22.1 % passing, 25 % to 60 % wanted, outside by 2.9 points (name)`."""
    place = _worst_place(band)
    side = "inside" if band.worst_margin >= 0 else "OUTSIDE"
    return (
        f"worst sieve {sieve(band.sizes_mm[place])} mm: {percent(band.passing[place])} % passing, "
        f"{percent(band.low[place])} % to {percent(band.high[place])} % wanted, {side} by "
        f"{percent(abs(band.worst_margin))} points ({band.name})"
    )


def _worst_place(band: BandVerdict) -> int:
    worst = band.worst_size_mm or band.sizes_mm[0]
    return min(range(len(band.sizes_mm)), key=lambda i: abs(math.log(band.sizes_mm[i] / worst)))


def _axis(products: Sequence[ProductResult], results: Results) -> Axis:
    """From where the finest curve or band begins to where the coarsest ends, to whole ticks."""
    sizes = [mm for product in products for band in product.bands for mm in band.sizes_mm]
    for product in products:
        inside = [mm for mm, p in product.curve if LEAST_PASSING < p < MOST_PASSING]
        sizes += [mm for mm in inside if mm >= results.sieves_mm[-1]]
    low, high = (min(sizes), max(sizes)) if sizes else (0.1, 100.0)
    return Axis(_tick_below(low), _tick_above(max(high, 2 * low)))


def _tick_below(mm: float) -> float:
    decade = 10.0 ** math.floor(math.log10(mm))
    return max(step * decade for step in TICKS if step * decade <= mm * SLACK)


def _tick_above(mm: float) -> float:
    decade = 10.0 ** math.floor(math.log10(mm))
    return min(step * decade for step in (*TICKS, 10.0) if step * decade >= mm / SLACK)


def _up(passing: float) -> float:
    return TOP + PLOT_HEIGHT * (1.0 - min(1.0, max(0.0, passing)))


def _points(axis: Axis, product: ProductResult, results: Results) -> list[Point]:
    """The curve across the plot, through the reporting sieves, cut at the ends of the axis."""
    sieves = zip(results.sieves_mm, product.passing, strict=True)
    curve = sorted(dict([*product.curve, *sieves]).items())
    inside = [(mm, p) for mm, p in curve if axis.low_mm <= mm <= axis.high_mm]
    # below its finest size nothing is known of the curve; above its coarsest all of it passes
    known = [mm for mm in (axis.low_mm, axis.high_mm) if mm >= curve[0][0]]
    ends = ((mm, _passing_at(curve, mm)) for mm in known)
    return [(axis.across(mm), _up(p)) for mm, p in sorted({*inside, *ends})]


def _passing_at(curve: Sequence[Point], mm: float) -> float:
    """Linear in log size between the curve's points, flat beyond the coarsest."""
    above = [point for point in curve if point[0] >= mm]
    if not above:
        return curve[-1][1]
    (d0, p0), (d1, p1) = [point for point in curve if point[0] <= mm][-1], above[0]
    return p0 if d1 == d0 else p0 + (p1 - p0) * math.log(mm / d0) / math.log(d1 / d0)


def _region(axis: Axis, band: BandVerdict) -> str:
    upper = [(axis.across(mm), _up(p)) for mm, p in zip(band.sizes_mm, band.high, strict=True)]
    lower = [(axis.across(mm), _up(p)) for mm, p in zip(band.sizes_mm, band.low, strict=True)]
    return path([*upper, *reversed(lower)]) + " Z"


def _worst_marks(axis: Axis, bands: Iterable[BandVerdict], curve: list[Point]) -> list[Mark]:
    """A badge beside the worst point of each band, clear of the curve and of one another."""
    marks: list[Mark] = []
    for number, band in enumerate(_with_worst(bands), start=1):
        place = _worst_place(band)
        on = (axis.across(band.sizes_mm[place]), _up(band.passing[place]))
        marks.append(Mark(number, _free_place(on, curve, [m.at for m in marks]), on))
    return marks


def _free_place(on: Point, curve: list[Point], taken: list[Point]) -> Point:
    """The nearest place around a point where a badge touches nothing; the point's left if none."""
    around = [
        (on[0] + reach * math.cos(turn), on[1] + reach * math.sin(turn))
        for reach in (26.0, 40.0, 56.0)
        for turn in (math.radians(degrees) for degrees in range(225, 585, 30))
    ]
    for at in around:
        inside = LEFT + BADGE < at[0] < WIDTH - RIGHT - BADGE
        inside = inside and TOP + BADGE < at[1] < TOP + PLOT_HEIGHT - BADGE
        clear = all(math.dist(at, other) > 2.2 * BADGE for other in taken)
        if inside and clear and _gap(at, curve) > 1.4 * BADGE:
            return at
    return around[0]


def _gap(at: Point, curve: Sequence[Point]) -> float:
    """Distance from a point to a polyline."""
    return min(
        (_gap_to_segment(at, a, b) for a, b in pairwise(curve)),
        default=math.inf,
    )


def _gap_to_segment(at: Point, a: Point, b: Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = dx * dx + dy * dy
    along = 0.0 if length == 0 else ((at[0] - a[0]) * dx + (at[1] - a[1]) * dy) / length
    share = min(1.0, max(0.0, along))
    return math.dist(at, (a[0] + share * dx, a[1] + share * dy))


def _curve_marks(curves: list[list[Point]]) -> list[Mark]:
    """A badge on each curve, at the place that is farthest from other curves and badges."""
    marks: list[Mark] = []
    for number, curve in enumerate(curves, start=1):
        others = [other for other in curves if other is not curve]
        taken = [mark.at for mark in marks]
        places = [(_room(at, others, taken), at) for at in _along(curve)]
        if places:
            at = max(places, key=lambda place: place[0])[1]
            marks.append(Mark(number, at, at))
    return marks


def _room(at: Point, curves: list[list[Point]], badges: list[Point]) -> Point:
    """Distance to the nearest badge, then to the nearest curve, each no more than is needed.

    In this order, for curves may coincide and then no place is clear of the others.
    """
    to_badge = min((math.dist(at, badge) for badge in badges), default=math.inf)
    to_curve = min((_gap(at, curve) for curve in curves), default=math.inf)
    return round(min(3.5 * BADGE, to_badge), 2), round(min(2.5 * BADGE, to_curve), 2)


def _along(curve: list[Point]) -> list[Point]:
    """Places on a curve from 85 to 15 % passing, every few pixels."""
    steps: list[Point] = []
    for (x0, y0), (x1, y1) in pairwise(curve):
        pieces = max(1, round(math.dist((x0, y0), (x1, y1)) / 4))
        shares = [step / pieces for step in range(pieces)]
        steps += [(x0 + (x1 - x0) * share, y0 + (y1 - y0) * share) for share in shares]
    return [at for at in reversed(steps) if _up(0.85) <= at[1] <= _up(0.15)]


def _draw(
    results: Results,
    title: str,
    axis: Axis,
    curves: Sequence[Curve],
    regions: Sequence[Region],
    marks: Sequence[Mark],
    keys: Sequence[Key],
) -> str:
    lines = sum(len(key.words) for key in keys)
    foot = TOP + PLOT_HEIGHT
    return render(
        "grading.svg.j2",
        {"number": pixel},
        width=WIDTH,
        height=foot + 56 + KEY_LINE * lines + 26,
        left=LEFT,
        right=WIDTH - RIGHT,
        top=TOP,
        foot=foot,
        title=shorten(title, 80),
        plant=shorten(full_subtitle(results), 125),
        prediction=PREDICTION,
        verticals=[(axis.across(mm), sieve(mm)) for mm in axis.ticks],
        horizontals=[(_up(p / 100), p) for p in range(0, 101, 10)],
        curves=curves,
        regions=regions,
        hatches=HATCHES,
        marks=marks,
        badge=BADGE,
        keys=keys,
        key_top=foot + 62,
        key_line=KEY_LINE,
    )
