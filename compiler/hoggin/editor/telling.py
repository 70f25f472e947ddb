"""Numbers in both unit systems, and results in trade terms."""

from __future__ import annotations

import re
from collections.abc import Mapping

from pydantic import BaseModel

from hoggin.schema.declared import declared, results_of
from hoggin.schema.results import (
    DeckResult,
    FeedResult,
    MachineResult,
    ProductResult,
    Results,
    StreamResult,
)
from hoggin.schema.units import Dimension, Unit, in_unit, known, number_text, unit_of

_INSIDE = {"met": "in the band", "not met": "not in the band", "not judged": "not judged"}
_MARKS = re.compile(r"[\\`*_\[\]<>!#|~&]")
# The unit of the other system that a reader would use, by the trade's unit.
_US = {
    "um": "in",
    "mm": "in",
    "cm": "in",
    "m": "ft",
    "kg": "lb",
    "t": "st",
    "m2": "ft2",
    "mm2": "ft2",
    "m3": "ft3",
    "t/h": "stph",
    "kg/h": "lb/h",
    "kg/s": "stph",
    "m3/h": "ft3/h",
    "t/m3": "lb/ft3",
    "kg/m3": "lb/ft3",
    "m/s": "ft/s",
    "m/min": "ft/min",
    "W": "hp",
    "kW": "hp",
    "kWh/t": "kWh/st",
}
# A unit of the US system has the counterpart that comes first, but for the trade's own.
_METRIC = {other: unit for unit, other in reversed(_US.items())} | {"in": "mm", "hp": "kW"}


def _by_parts(unit: str, others: Mapping[str, str]) -> str | None:
    """The counterpart of a unit, or its own parts with theirs: `EUR/st` of `EUR/t`."""
    found = others.get(unit) or "/".join(others.get(part, part) for part in unit.split("/"))
    return found if found != unit else None


def shown(text: str) -> str:
    """An author's text as Markdown that shows it literally: no picture, link or mark."""
    return _MARKS.sub(r"\\\g<0>", " ".join(text.split()))


def number(value: float) -> str:
    """Three significant digits; whole numbers from 100 on."""
    return f"{value:.0f}" if abs(value) >= 100 else f"{value:.3g}"


def per_cent(fraction: float) -> str:
    return f"{100 * fraction:.0f} %"


def both(si: float, unit: Unit) -> str:
    """A number in its unit, and in the other system's: `32 mm = 1.26 in`."""
    written = f"{number_text(in_unit(si, unit))} {unit.name}"
    if unit.name == "number":
        return number_text(si)
    if unit.name == "%":
        return f"{written} = {number_text(si)}"
    other = _by_parts(unit.name, _US) or _by_parts(unit.name, _METRIC)
    if other is None:
        return written
    return f"{written} = {in_unit(si, known(other)):.4g} {other}"


def both_of(si: float, dimension: Dimension, written_in: str = "") -> str:
    """The same for a quantity, in its written unit or otherwise the trade's."""
    unit = unit_of(written_in, dimension)
    return number_text(si) if unit is None else both(si, unit)


def trade(value: float, unit: str) -> str:
    """A result in the trade's unit and in the US one: `118 t/h (130 stph)`."""
    text = f"{number(value)} {unit}".rstrip()
    other = _by_parts(unit, _US)
    if other is None:
        return text
    return f"{text} ({number(value * known(unit).size / known(other).size)} {other})"


def told(thing: BaseModel, field: str) -> str:
    """A result in its unit: `118 t/h`; "" if it is not known."""
    value, one = getattr(thing, field), declared(type(thing), field)
    if value is None:
        return ""
    return per_cent(value) if one.unit == "%" else f"{number(value)} {one.unit}".rstrip()


def labelled(thing: BaseModel, field: str) -> str:
    """The same with its label: `P80 14 mm`."""
    text = told(thing, field)
    return f"{declared(type(thing), field).label} {text}" if text else ""


def result_lines(thing: BaseModel) -> list[str]:
    """Every result of a thing itself, in both unit systems: `P80 14 mm (0.551 in)`."""
    lines = []
    for one in results_of(type(thing)):
        value = getattr(thing, one.field)
        if value is not None and not one.quantity.sizes:
            text = per_cent(value) if one.unit == "%" else trade(value, one.unit)
            lines.append(f"{one.label} {text}")
    return lines


def deck_line(deck: DeckResult) -> str:
    return f"deck {deck.name}: {', '.join(result_lines(deck))}"


def stream_lines(stream: StreamResult) -> list[str]:
    return [stream.name, *result_lines(stream)]


def tag_lines(results: Results, tag: str) -> list[str]:
    """The balance's results for the thing with a tag; empty if there is none."""
    things: list[MachineResult | ProductResult | FeedResult]
    things = [*results.machines, *results.products, *results.feeds]
    match next((thing for thing in things if thing.tag == tag), None):
        case MachineResult() as machine:
            checks = [check.text for check in machine.checks if check.verdict != "ok"]
            return [*result_lines(machine), *map(deck_line, machine.decks), *checks]
        case ProductResult() as product:
            bands = (f"{band.name}: {_INSIDE[band.verdict]}" for band in product.bands)
            return [shown(product.title), *result_lines(product), *bands]
        case FeedResult() as feed:
            return [feed.material, *result_lines(feed)]
    return []
