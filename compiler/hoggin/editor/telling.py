"""Numbers in both unit systems, and results in the trade's words."""

from __future__ import annotations

import re

from hoggin.schema.results import (
    DeckResult,
    FeedResult,
    MachineResult,
    ProductResult,
    Results,
    StreamResult,
)
from hoggin.schema.units import UNITS, Dimension, Unit, in_unit, number_text, trade_unit

_MARKS = re.compile(r"[\\`*_\[\]<>!#|~&]")
# The unit of the other system that a reader would take, by the trade's own.
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
    "per_kg": "per_lb",
    "per_t": "per_st",
}
_METRIC = {
    "in": "mm",
    "ft": "m",
    "lb": "kg",
    "st": "t",
    "ft2": "m2",
    "ft3": "m3",
    "stph": "t/h",
    "lb/h": "kg/h",
    "ft3/h": "m3/h",
    "lb/ft3": "t/m3",
    "ft/s": "m/s",
    "ft/min": "m/min",
    "hp": "kW",
    "kWh/st": "kWh/t",
    "per_lb": "per_kg",
    "per_st": "per_t",
}


def shown(text: str) -> str:
    """A writer's own text as Markdown that shows it as it is: no picture, link or mark in it."""
    return _MARKS.sub(r"\\\g<0>", " ".join(text.split()))


def number(value: float) -> str:
    """Three digits that matter, whole numbers from 100 on."""
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
    other = _US.get(unit.name) or _METRIC.get(unit.name)
    if other is None:
        return written
    return f"{written} = {in_unit(si, UNITS[other]):.4g} {other}"


def both_of(si: float, dimension: Dimension, written_in: str = "") -> str:
    """The same for a quantity, in the unit it was written in or else the trade's."""
    found = trade_unit(dimension)
    unit = UNITS.get(written_in) or (found[0] if found else None)
    return number_text(si) if unit is None else both(si, unit)


def trade(value: float | None, unit: str) -> str:
    """A result in the trade's unit and in the US one: `118 t/h (130 stph)`; "" where none is."""
    if value is None:
        return ""
    other = _US.get(unit)
    told = f"{number(value)} {unit}"
    if other is None:
        return told
    return f"{told} ({number(value * UNITS[unit].size / UNITS[other].size)} {other})"


def machine_lines(machine: MachineResult) -> list[str]:
    """What the balance says of a machine."""
    found = [
        ("feed", trade(machine.feed_t_h, "t/h")),
        ("load", "" if machine.load is None else per_cent(machine.load)),
        ("capacity", trade(machine.capacity_t_h, "t/h")),
        ("power", trade(machine.power_kw, "kW")),
        ("F80", trade(machine.f80_mm, "mm")),
        ("P80", trade(machine.p80_mm, "mm")),
        ("reduction", "" if machine.reduction_ratio is None else number(machine.reduction_ratio)),
    ]
    lines = [f"{name} {text}" for name, text in found if text]
    for deck in machine.decks:
        lines.append(deck_line(deck))
    lines += [check.text for check in machine.checks if check.verdict != "ok"]
    return lines


def deck_line(deck: DeckResult) -> str:
    use = "" if deck.area_use is None else f", area use {per_cent(deck.area_use)}"
    bed = "" if deck.bed_depth_mm is None else f", bed {trade(deck.bed_depth_mm, 'mm')}"
    return (
        f"deck {deck.name}: {trade(deck.feed_t_h, 't/h')}, cut {trade(deck.cut_size_mm, 'mm')}, "
        f"efficiency {per_cent(deck.undersize_efficiency)}{use}{bed}"
    )


def stream_lines(stream: StreamResult) -> list[str]:
    size = trade(stream.p80_mm, "mm")
    rate = f"{trade(stream.rate_t_h, 't/h')}, {per_cent(stream.share_of_feed)} of plant feed"
    lines = [stream.name, rate]
    if size:
        lines.append(f"P80 {size}")
    if stream.water_t_h:
        lines.append(f"water {number(stream.water_t_h)} t/h")
    return lines


def product_lines(product: ProductResult) -> list[str]:
    rate = f"{trade(product.rate_t_h, 't/h')}, {per_cent(product.share_of_feed)} of plant feed"
    lines = [shown(product.title), rate]
    if product.p80_mm is not None:
        lines.append(f"P80 {trade(product.p80_mm, 'mm')}")
    for band in product.bands:
        lines.append(f"{band.name}: {'in the band' if band.met else 'not in the band'}")
    return lines


def feed_lines(feed: FeedResult) -> list[str]:
    lines = [f"{trade(feed.rate_t_h, 't/h')} of {feed.material}"]
    if feed.p80_mm is not None:
        lines.append(f"P80 {trade(feed.p80_mm, 'mm')}")
    return lines


def tag_lines(results: Results, tag: str) -> list[str]:
    """What the balance says of whatever has a tag; empty where nothing has it."""
    for machine in results.machines:
        if machine.tag == tag:
            return machine_lines(machine)
    for product in results.products:
        if product.tag == tag:
            return product_lines(product)
    for feed in results.feeds:
        if feed.tag == tag:
            return feed_lines(feed)
    return []
