"""Particle shape in the mass balance's tables: columns and tables, only where it is known."""

from __future__ import annotations

from hoggin.report.fields import number, table, words
from hoggin.report.tables import Section, Table
from hoggin.report.wording import sieve
from hoggin.schema.declared import declared
from hoggin.schema.measures import MEASURES, Measure
from hoggin.schema.results import ProductResult, Results

_Fraction = tuple[float, float]  # upper and lower sieve, mm


def sections(results: Results) -> tuple[Section, ...]:
    """Each measure of the products by sieve fraction; tables without rows where none is known."""
    return tuple(
        Section(f"Product {_label(one)}", (_note(one),), _fractions(results, one))
        for one in MEASURES.values()
    )


def _label(measure: Measure) -> str:
    return declared(ProductResult, measure.name).label


def _note(measure: Measure) -> str:
    return (
        f"Per cent by mass of {measure.piece} particles in each sieve fraction; a tendency, not a "
        "guarantee."
    )


def _fractions(results: Results, measure: Measure) -> Table:
    """Sieve fractions down, products across."""
    shares: dict[str, dict[_Fraction, float]] = {
        product.tag: {(p.upper_mm, p.lower_mm): getattr(p, measure.name) for p in found}
        for product in results.products
        if (found := getattr(product, f"{measure.name}_by_fraction"))
    }
    fields = (
        words("fraction mm", lambda fraction: f"{sieve(fraction[1])}/{sieve(fraction[0])}"),
        *(number(tag, "%", "percent", found.get) for tag, found in shares.items()),
    )
    every = {fraction for found in shares.values() for fraction in found}
    return table(f"Product {_label(measure)}", fields, sorted(every, reverse=True))
