"""The water balance as a table: only for plants that add water."""

from __future__ import annotations

from hoggin.report.tables import Column, Table, Value
from hoggin.schema.results import Results

NOTE = "A tonne of water is a cubic metre. Recycled water and settling ponds are outside the plant."


def water(results: Results) -> Table:
    """Water in, and water out by product; no rows where no water is added."""
    columns = (
        Column("water"),
        Column("rate", "t/h", "rate"),
        Column("moisture", "%", "percent"),
    )
    found = results.water
    if found is None or found.added_t_h <= 0:
        return Table("Water", columns, ())
    entering = found.with_feeds_t_h + found.added_t_h
    rows: list[tuple[Value, ...]] = [
        ("with the feeds", found.with_feeds_t_h, None),
        ("sprays and dilution", found.added_t_h, None),
    ]
    for product in results.products:
        wet = sum(s.water_t_h for s in results.streams if s.target == product.tag)
        moisture = wet / product.rate_t_h if product.rate_t_h > 0 else None
        rows.append((f"out with {product.tag}", wet, moisture))
    rows.append(("difference", found.with_products_t_h - entering, None))
    return Table("Water", columns, tuple(rows))
