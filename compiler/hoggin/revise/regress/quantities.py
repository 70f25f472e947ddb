"""What is recorded of a plant: its quantities, each under the name of the thing it belongs to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from hoggin.schema.results import MachineResult, ProductResult, Results

_DIGITS = 6
# After the point, at most: finer figures say nothing, or are the dust of arithmetic.
_PLACES, _PLACES_PERCENT = 6, 3
_THROUGH = ("splitter", "blend", "bin", "stockpile")  # they only pass on what enters them


@dataclass(frozen=True, slots=True)
class Quantity:
    """`what` of `subject`, as "rate" of "product stone". `kind` names its tolerance. `value` is in
    `unit`; None where there is no value, as the P80 of an empty stream."""

    subject: str
    what: str
    kind: str
    value: float | None
    unit: str


def quantities(results: Results) -> tuple[Quantity, ...]:
    """All that is recorded: plant, products, machines with their decks, closed circuits."""
    return tuple(_all(results))


def rounded(value: float, unit: str) -> float:
    """Six significant digits, and no dust around zero."""
    places = _PLACES_PERCENT if unit == "%" else _PLACES
    return round(float(f"{value:.{_DIGITS}g}"), places) + 0.0


def _all(results: Results) -> Iterator[Quantity]:
    yield _quantity("plant", "feed", "rate", results.feed_t_h, "t/h")
    yield _quantity("plant", "power", "power", results.power_kw, "kW")
    yield _quantity("plant", "energy", "energy", results.energy_kwh_t, "kWh/t")
    for product in results.products:
        yield from _of_product(product, results.sieves_mm)
    for machine in results.machines:
        if machine.kind not in _THROUGH:
            yield from _of_machine(machine)
    for loop in results.loops:
        subject = f"circuit of {loop.machines[0]}"
        share = loop.recirculating_load
        yield _quantity(subject, "recirculating load", "recirculating_load", 100 * share, "%")


def _of_product(product: ProductResult, sieves_mm: tuple[float, ...]) -> Iterator[Quantity]:
    subject = f"product {product.tag}"
    yield _quantity(subject, "rate", "rate", product.rate_t_h, "t/h")
    yield _quantity(subject, "P80", "p80", product.p80_mm, "mm")
    if product.flakiness is not None:
        yield _quantity(subject, "flakiness", "flakiness", 100 * product.flakiness, "%")
    for size_mm, share in zip(sieves_mm, product.passing, strict=True):
        yield _quantity(subject, f"passing {size_mm:g} mm", "passing", 100 * share, "%")


def _of_machine(machine: MachineResult) -> Iterator[Quantity]:
    subject = f"{machine.kind} {machine.tag}"
    yield _quantity(subject, "feed", "rate", machine.feed_t_h, "t/h")
    if machine.load is not None:
        yield _quantity(subject, "load", "load", 100 * machine.load, "%")
    if machine.power_kw is not None:
        yield _quantity(subject, "power", "power", machine.power_kw, "kW")
    for deck in machine.decks:
        if deck.area_use is not None:
            where = f"deck {machine.tag}.{deck.name}"
            yield _quantity(where, "area use", "load", 100 * deck.area_use, "%")


def _quantity(subject: str, what: str, kind: str, value: float | None, unit: str) -> Quantity:
    return Quantity(subject, what, kind, None if value is None else rounded(value, unit), unit)
