"""Flakiness in the mass balance's tables: a column and a table, only where it is known."""

from __future__ import annotations

from collections.abc import Sequence

from hoggin.emit.tables import Column, Table
from hoggin.emit.wording import sieve
from hoggin.rating.results import Results

NOTE = "Per cent by mass of flaky particles in each sieve fraction; a tendency, not a guarantee."


def with_flakiness(table: Table, flakiness: Sequence[float | None], *, after: str) -> Table:
    """The table with a column `flakiness` after another; as it is where none is known."""
    if all(value is None for value in flakiness):
        return table
    place = 1 + next(i for i, column in enumerate(table.columns) if column.heading == after)
    column = Column("flakiness", "%", "percent")
    return Table(
        table.title,
        (*table.columns[:place], column, *table.columns[place:]),
        tuple(
            (*row[:place], value, *row[place:])
            for row, value in zip(table.rows, flakiness, strict=True)
        ),
        table.keys,
    )


def fractions(results: Results) -> Table:
    """Sieve fractions down, products across; no rows where no flakiness is known."""
    known = [product for product in results.products if product.flakiness_by_fraction]
    found = {
        (part.upper_mm, part.lower_mm): None
        for product in known
        for part in product.flakiness_by_fraction
    }
    by_product = [
        {(part.upper_mm, part.lower_mm): part.flakiness for part in product.flakiness_by_fraction}
        for product in known
    ]
    columns = (
        Column("fraction mm", kind="text"),
        *(Column(product.tag, "%", "percent") for product in known),
    )
    rows = tuple(
        (f"{sieve(lower)}/{sieve(upper)}", *(given.get((upper, lower)) for given in by_product))
        for upper, lower in sorted(found, reverse=True)
    )
    return Table("Product flakiness", columns, rows)
