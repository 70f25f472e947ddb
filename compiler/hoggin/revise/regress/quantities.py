"""What is recorded of a plant's results: every number, each under the name of the thing it belongs
to, and every verdict on a limit.

The results document is walked as it is: a number that is added to it is recorded without a word
here. A field's name says its unit, as the document's own convention has it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from pydantic import BaseModel

from hoggin.revise.regress.tolerances import (
    ENERGY,
    LOAD,
    OTHER,
    PASSING,
    POWER,
    RATE,
    RECIRCULATING,
    SHARE,
    SIZE,
)
from hoggin.schema.results import MachineResult, ProductResult, Results

_DIGITS = 6
# After the point, at most: finer figures say nothing, or are the dust of arithmetic.
_PLACES, _PLACES_PERCENT = 6, 3
_THROUGH = ("splitter", "blend")  # they only pass on what enters them
_UNITS = {  # by how a field's name ends; the longer ending first
    "_kwh_t": ("kWh/t", ENERGY),
    "_g_kwh": ("g/kWh", OTHER),
    "_kg_h": ("kg/h", OTHER),
    "_kg_m": ("kg/m", OTHER),
    "_t_h": ("t/h", RATE),
    "_g_t": ("g/t", OTHER),
    "_m_s": ("m/s", OTHER),
    "_deg": ("deg", OTHER),
    "_m2": ("m2", OTHER),
    "_m3": ("m3", OTHER),
    "_mm": ("mm", SIZE),
    "_kw": ("kW", POWER),
    "_t": ("t", OTHER),
    "_h": ("h", OTHER),
    "_m": ("m", OTHER),
    "_n": ("N", OTHER),
}
_SHARES = {  # fractions, recorded in per cent
    "load": LOAD,
    "area_use": LOAD,
    "recirculating_load": RECIRCULATING,
    "worst_margin": PASSING,
    **dict.fromkeys(
        (
            "share_of_feed",
            "moisture",
            "flakiness",
            "flat_elongated",
            "undersize_efficiency",
            "near_size",
            "motor_margin",
            "liner_wear_share",
            "live_share",
            "lost",
            "share",
        ),
        SHARE,
    ),
}
_PRICES = ("per_", "_per_", "set_price")  # in the plant's currency; their names end like units
_CHECKED_AS = {"deck area": "area use"}  # a number of the results that its limit names otherwise
_LEFT_OUT = frozenset(
    {"curve", "closure", "sieves_mm", "sizes_mm", "low", "high", "format_version"}
)


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
    """Every number of the results, in their order. A limit is often checked by a number that the
    results hold under the same name; it is recorded once."""
    found: dict[tuple[str, str], Quantity] = {}
    for one in _all(results):
        first = found.setdefault((one.subject, one.what), one)
        if first != one:
            what = f"{one.what}, as checked"
            found[one.subject, what] = replace(one, what=what)
    return tuple(found.values())


def limits(results: Results) -> dict[str, str]:
    """The verdict on every limit, by what it is of: "crusher secondary: load" is "ok"."""
    found: dict[str, str] = {}
    for machine in results.machines:
        for subject, checks in (
            (_name(machine), machine.checks),
            *((f"deck {machine.tag}.{deck.name}", deck.checks) for deck in machine.decks),
        ):
            found |= {_unused(f"{subject}: {one.name}", found): one.verdict for one in checks}
    for product in results.products:
        for band in product.bands:
            name = _unused(f"product {product.tag}: {band.name}", found)
            found[name] = "met" if band.met else "not met"
    return found


def rounded(value: float, unit: str) -> float:
    """Six significant digits, and no dust around zero."""
    places = _PLACES_PERCENT if unit == "%" else _PLACES
    return round(float(f"{value:.{_DIGITS}g}"), places) + 0.0


def _all(results: Results) -> Iterator[Quantity]:
    sieves = results.sieves_mm
    yield from _of("plant", results, sieves)
    for feed in results.feeds:
        yield from _of(f"feed {feed.tag}", feed, sieves)
    for product in results.products:
        yield from _of_product(product, sieves)
    for machine in results.machines:
        if machine.kind not in _THROUGH:
            yield from _of_machine(machine)
    for loop in results.loops:
        yield from _of(f"circuit of {loop.machines[0]}", loop, ())
    streams: dict[str, str] = {}
    for stream in results.streams:
        name = _unused(f"stream {stream.name}", streams)
        streams[name] = ""
        yield from _of(name, stream, sieves)
    for source in results.dust:
        yield from _of(f"dust of {source.source}", source, (), f"{source.operation}, ")


def _of_product(product: ProductResult, sieves_mm: tuple[float, ...]) -> Iterator[Quantity]:
    subject = f"product {product.tag}"
    yield from _of(subject, product, sieves_mm)
    for band in product.bands:
        yield from _of(subject, band, band.sizes_mm, f"{band.name}, ")
    for shape, parts in (
        ("flaky", product.flakiness_by_fraction),
        ("flat", product.flat_elongated_by_fraction),
    ):
        for part in parts:
            between = f"{shape} from {part.lower_mm:g} mm to {part.upper_mm:g} mm, "
            yield from _of(subject, part, (), between)


def _of_machine(machine: MachineResult) -> Iterator[Quantity]:
    yield from _of(_name(machine), machine, ())
    for deck in machine.decks:
        subject = f"deck {machine.tag}.{deck.name}"
        yield from _of(subject, deck, ())
        for check in deck.checks:
            yield _checked(subject, check.name, check.value, check.unit)
    for check in machine.checks:
        yield _checked(_name(machine), check.name, check.value, check.unit)


def _checked(subject: str, name: str, value: float, unit: str) -> Quantity:
    kinds = {"%": LOAD, "kW": POWER, "mm": SIZE, "t/h": RATE}
    return _quantity(subject, _CHECKED_AS.get(name, name), kinds.get(unit, OTHER), value, unit)


def _of(
    subject: str, part: BaseModel, sieves_mm: tuple[float, ...], before: str = ""
) -> Iterator[Quantity]:
    """The numbers of one part of the document and of what it holds, but not of its lists, whose
    items are things of their own."""
    for name, value in part:
        what = before + _words(name)
        if name in _LEFT_OUT:
            continue
        if name == "passing":
            for size_mm, share in zip(sieves_mm, value, strict=True):
                yield _quantity(
                    subject, f"{before}passing {size_mm:g} mm", PASSING, 100 * share, "%"
                )
        elif isinstance(value, BaseModel):
            yield from _of(subject, value, (), f"{before}{_words(name)} ")
        elif name in _SHARES and value is not None:
            yield _quantity(subject, what, _SHARES[name], 100 * value, "%")
        elif _is_number(part, name) and (value is not None or _unit(name)[0]):
            unit, kind = _unit(name)
            yield _quantity(subject, what, kind, value, unit)


def _is_number(part: BaseModel, name: str) -> bool:
    """Whether a field holds a number, also where it has none now."""
    declared = str(type(part).model_fields[name].annotation)
    return any(word in declared for word in ("float", "int", "bool")) and "tuple" not in declared


def _unit(name: str) -> tuple[str, str]:
    """A field's unit and kind of tolerance, by its name."""
    if any(price in name for price in _PRICES):
        return "", OTHER
    ending = next((ending for ending in _UNITS if name.endswith(ending)), "")
    return _UNITS.get(ending, ("", OTHER))


def _words(name: str) -> str:
    """A field's name without its unit, as people write it: `p80_mm` is "P80"."""
    if not any(price in name for price in _PRICES):
        name = name.removesuffix(next((end for end in _UNITS if name.endswith(end)), ""))
    capital = name[:1] in "pfd" and name[1:].isdigit()
    return (name.upper() if capital else name).replace("_", " ")


def _name(machine: MachineResult) -> str:
    return f"{machine.kind} {machine.tag}"


def _unused(name: str, taken: Mapping[str, str]) -> str:
    """The name, numbered where another thing has it already."""
    number, free = 1, name
    while free in taken:
        number += 1
        free = f"{name} ({number})"
    return free


def _quantity(subject: str, what: str, kind: str, value: float | None, unit: str) -> Quantity:
    return Quantity(subject, what, kind, None if value is None else rounded(value, unit), unit)
