"""Particle shape in the mass balance's tables: columns and tables, only where it is known."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hoggin.report.tables import Column, Section, Table
from hoggin.report.wording import sieve
from hoggin.schema.results import Results

_MEASURES = {"flakiness": "flakiness", "flat_elongated": "flat and elongated"}
_NOTES = {
    "flakiness": "Per cent by mass of flaky particles in each sieve fraction; a tendency, not a "
    "guarantee.",
    "flat_elongated": "Per cent by mass of flat and elongated particles in each sieve fraction; a "
    "tendency, not a guarantee.",
}


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
