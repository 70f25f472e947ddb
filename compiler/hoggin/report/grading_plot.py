"""Grading curves of products and feeds as SVG: size on a log axis, per cent passing, bands hatched,
and the limits that the plant requires of a sieve."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from hoggin.report.chart.gradings import DASHES, LEAST, MOST, passing_axis, size_axis
from hoggin.report.chart.model import (
    Area,
    Axis,
    Callout,
    Chart,
    Fill,
    Item,
    Key,
    Marker,
    Markers,
    Panel,
    Point,
    Points,
    Series,
)  # fmt: skip
from hoggin.report.chart.svg import svg
from hoggin.report.wording import band_text, full_subtitle, nearest, percent, rate, sieve
from hoggin.schema.plant import Limit, Reading
from hoggin.schema.results import BandVerdict, ProductResult, Results

ALL = 1.0 - 1e-6  # fraction passing that is drawn at 100 %
_HATCHES: tuple[Fill, ...] = ("slant", "backslant", "upright", "level")


def one(results: Results, product: ProductResult) -> str:
    """A product's curve with the bands it is held to and its worst sieve on each."""
    axis = _axis([product], results)
    curve = Series(_points(axis, product, results))
    keys = [Key(f"{product.tag}: {rate(product.rate_t_h)} t/h", (curve,))]
    regions = []
    for place, band in enumerate(product.bands):
        regions.append(_region(band, _HATCHES[place % len(_HATCHES)]))
        keys.append(Key(_verdict(band), (regions[-1],)))
    held = [(band, band.worst_size_mm) for band in product.bands if band.worst_size_mm is not None]
    callouts = []
    for number, (band, worst_mm) in enumerate(held, start=1):
        place = nearest(worst_mm or band.sizes_mm[0], band.sizes_mm)
        at = (band.sizes_mm[place], band.passing[place])
        callouts.append(Callout(str(number), at, badge=True))
        keys.append(Key(_worst(band, place), (callouts[-1],)))
    limits = list(_asked(product, results))
    keys += [Key(text, (mark,)) for text, mark in limits]
    guide = "A specification holds at its sieves; lines between only guide the eye."
    nothing = "No specification is asked of this product."
    keys += [Key(guide)] if product.bands else [] if limits else [Key(nothing)]
    same = product.title == product.tag
    title = product.tag if same else f"{product.title} ({product.tag})"
    marks = (mark for _, mark in limits)
    return _drawn(results, title, axis, (*regions, curve, *marks, *callouts), keys)


def feeds(results: Results) -> str:
    """What enters the plant: a mark at each sieve that the plant states, and lines between."""
    stated = results.plant.feeds if results.plant is not None else ()
    axis = size_axis([mm for feed in stated for mm, _ in feed.grading])
    items: list[Item] = []
    keys = []
    for place, feed in enumerate(stated):
        points = tuple(sorted(feed.grading))
        curve = Series(points, dash=DASHES[place % len(DASHES)])
        marks = Markers(points)
        items += [curve, marks]
        named = feed.title or feed.item_tag or feed.tag
        keys.append(Key(f"{named}: {rate(feed.rate_t_h)} t/h", (curve, marks)))
    return _drawn(results, "Feeds", axis, items, keys)


def together(results: Results) -> str:
    """Every product's curve on one plot, each known by its number and its dashes."""
    made = [product for product in results.products if product.rate_t_h > 0]
    axis = _axis(made, results)
    curves, keys = [], []
    for place, product in enumerate(made):
        points, dash = _points(axis, product, results), DASHES[place % len(DASHES)]
        curve = Series(points, dash=dash, tag=str(place + 1), badge=True)
        curves.append(curve)
        keys.append(Key(f"{product.tag}, {product.title}: {rate(product.rate_t_h)} t/h", (curve,)))
    return _drawn(results, "All products", axis, curves, keys)


def _asked(product: ProductResult, results: Results) -> Iterator[tuple[str, Markers]]:
    """What the plant requires of the product's passing on a sieve: a mark that points to the side
    that is wanted, and the requirement's words."""
    plant = results.plant
    for one in plant.requirements if plant is not None else ():
        if not isinstance(one, Limit) or not isinstance(one.expression, Reading):
            continue
        asked = one.expression
        if (asked.subject, asked.quantity) != (product.tag, "passing") or asked.size_mm is None:
            continue
        sides: tuple[tuple[float | None, Marker], ...] = ((one.low, "up"), (one.high, "down"))
        for limit, kind in sides:
            if limit is not None:
                at = (asked.size_mm, limit * one.unit_size)
                yield f"required: {one.text}", Markers((at,), kind, 5.0)


def _drawn(
    results: Results, title: str, axis: Axis, items: Sequence[Item], keys: Sequence[Key]
) -> str:
    panel = Panel(axis, passing_axis(10), tuple(items), height=400)
    return svg(Chart(title, full_subtitle(results), (panel,), tuple(keys)))


def _verdict(band: BandVerdict) -> str:
    return f"{band_text(band)} ({band.source})"


def _worst(band: BandVerdict, place: int) -> str:
    """`12.5 mm: 22.1 % passing, 25 % to 60 % wanted, outside by 2.9 points (name)`."""
    side = "inside" if band.worst_margin >= 0 else "OUTSIDE"
    return (
        f"worst sieve {sieve(band.sizes_mm[place])} mm: {percent(band.passing[place])} % passing, "
        f"{percent(band.low[place])} % to {percent(band.high[place])} % wanted, {side} by "
        f"{percent(abs(band.worst_margin))} points ({band.name})"
    )


def _axis(products: Sequence[ProductResult], results: Results) -> Axis:
    """From where the finest curve or band begins to where the coarsest reaches 100 %, to whole
    ticks."""
    sizes = [mm for product in products for band in product.bands for mm in band.sizes_mm]
    for product in products:
        inside = [mm for mm, p in product.curve if LEAST < p < MOST]
        sizes += [mm for mm in inside if mm >= results.sieves_mm[-1]]
        whole = [mm for mm, p in product.curve if p >= ALL]
        sizes += [min(whole)] if whole and inside else []
    return size_axis(sizes)


def _points(axis: Axis, product: ProductResult, results: Results) -> Points:
    """The curve through the reporting sieves, cut at the ends of the axis."""
    sieves = zip(results.sieves_mm, product.passing, strict=True)
    curve = sorted(dict([*product.curve, *sieves]).items())
    inside = [(mm, p) for mm, p in curve if axis.low <= mm <= axis.high]
    # below its finest size nothing is known of the curve; above its coarsest all of it passes
    known = [mm for mm in (axis.low, axis.high) if mm >= curve[0][0]]
    ends = ((mm, _passing_at(curve, mm)) for mm in known)
    return tuple(sorted({*inside, *ends}))


def _passing_at(curve: Sequence[Point], mm: float) -> float:
    """Linear in log size between the curve's points, flat beyond the coarsest."""
    above = [point for point in curve if point[0] >= mm]
    if not above:
        return curve[-1][1]
    (d0, p0), (d1, p1) = [point for point in curve if point[0] <= mm][-1], above[0]
    return p0 if d1 == d0 else p0 + (p1 - p0) * math.log(mm / d0) / math.log(d1 / d0)


def _region(band: BandVerdict, fill: Fill) -> Area:
    upper = zip(band.sizes_mm, band.high, strict=True)
    lower = zip(band.sizes_mm, band.low, strict=True)
    return Area(((*upper, *reversed(tuple(lower))),), fill)
