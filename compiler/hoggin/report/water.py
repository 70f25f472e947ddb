"""The water balance as a table: only for plants that add water."""

from __future__ import annotations

from math import fsum

from hoggin.report.fields import number, result, table, words
from hoggin.report.tables import Table
from hoggin.schema.results import Results, WaterStreamResult

NOTE = (
    "A tonne of water is a cubic metre. Water reused is what thickeners give back to the sprays; "
    "other recycled water and settling ponds are outside the plant."
)
_MOST_MOISTURE = (
    100.0  # over dry solids: beyond it a stream is water, and its moisture has no meaning
)

_Line = tuple[str, float, float | None]  # what it is, its rate, the moisture it makes
_WATER = (
    words("water", lambda line: line[0]),
    number("rate", "t/h", "rate", lambda line: line[1]),
    number("moisture", "%", "percent", lambda line: line[2]),
)


def of_rock(moisture: float) -> float | None:
    """The moisture of a stream; None where it is water with little rock in it."""
    return moisture if moisture <= _MOST_MOISTURE else None


def water_streams(results: Results) -> Table:
    """Water alone: what is sprayed and added, where it comes from, and what comes back."""
    fields = (
        words("no.", lambda water: water.number, 6),
        words("from", lambda water: water.source, 28),
        words("to", lambda water: water.target, 28),
        words("kind", lambda water: water.kind, 10),
        result(WaterStreamResult, "water_m3_h"),
    )
    return table("Water streams", fields, results.water_streams)


def water(results: Results) -> Table:
    """Water in, and water out by product; no rows where no water is added."""
    found = results.water
    if found is None or found.added_m3_h <= 0:
        return table("Water", _WATER, ())
    entering = found.with_feeds_m3_h + found.added_m3_h
    lines: list[_Line] = [
        ("with the feeds", found.with_feeds_m3_h, None),
        ("sprays and dilution", found.added_m3_h, None),
    ]
    for product in results.products:
        wet = fsum(s.water_m3_h for s in results.streams if s.target == product.tag)
        moisture = of_rock(wet / product.rate_t_h) if product.rate_t_h > 0 else None
        lines.append((f"out with {product.tag}", wet, moisture))
    lines.append(("difference", found.with_products_m3_h - entering, None))
    if found.reused_m3_h > 0:
        lines.append(("reused by sprays", found.reused_m3_h, None))
        lines.append(("fresh, for sprays and dilution", found.fresh_m3_h, None))
    return table("Water", _WATER, lines)
