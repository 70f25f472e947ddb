"""Particle shape in the mass balance's tables: columns and tables, only where it is known."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hoggin.report.tables import Column, Section, Table
from hoggin.report.wording import sieve
from hoggin.schema.results import FeedResult, ProductResult, Results, StreamResult

_MEASURES = {"flakiness": "flakiness", "flat_elongated": "flat and elongated"}
_NOTES = {
    "flakiness": "Per cent by mass of flaky particles in each sieve fraction; a tendency, not a "
    "guarantee.",
    "flat_elongated": "Per cent by mass of flat and elongated particles in each sieve fraction; a "
    "tendency, not a guarantee.",
}


def with_shape(
    table: Table,
    results: Sequence[StreamResult] | Sequence[ProductResult] | Sequence[FeedResult],
    *,
    after: str,
) -> Table:
    """The table of these results, a row each, with a column for each measure of shape after
    another column; as it is where none is known."""
    for name, heading in reversed(_MEASURES.items()):
        table = _with_column(table, heading, [getattr(r, name) for r in results], after)
    return table


def _with_column(table: Table, heading: str, values: list[float | None], after: str) -> Table:
    if all(value is None for value in values):
        return table
    place = 1 + next(i for i, column in enumerate(table.columns) if column.heading == after)
    return Table(
        table.title,
        (*table.columns[:place], Column(heading, "%", "percent"), *table.columns[place:]),
        tuple(
            (*row[:place], value, *row[place:])
            for row, value in zip(table.rows, values, strict=True)
        ),
        table.keys,
    )


def sections(results: Results) -> tuple[Section, ...]:
    """Each measure of the products by sieve fraction; tables without rows where none is known."""
    return tuple(
        Section(f"Product {heading}", (_NOTES[name],), _fractions(results, name, heading))
        for name, heading in _MEASURES.items()
    )


def _fractions(results: Results, name: str, heading: str) -> Table:
    """Sieve fractions down, products across."""
    parts: dict[str, Sequence[Any]] = {
        product.tag: found
        for product in results.products
        if (found := getattr(product, f"{name}_by_fraction"))
    }
    every = sorted({(p.upper_mm, p.lower_mm) for ps in parts.values() for p in ps}, reverse=True)
    by_product = [
        {(part.upper_mm, part.lower_mm): getattr(part, name) for part in found}
        for found in parts.values()
    ]
    columns = (
        Column("fraction mm", kind="text"),
        *(Column(tag, "%", "percent") for tag in parts),
    )
    rows = tuple(
        (f"{sieve(lower)}/{sieve(upper)}", *(given.get((upper, lower)) for given in by_product))
        for upper, lower in every
    )
    return Table(f"Product {heading}", columns, rows)
