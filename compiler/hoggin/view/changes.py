"""What the last save changed: the figures of each feed, machine, product and stream before it and
after it, as the page shows them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from pydantic import BaseModel

from hoggin.report.fields import result
from hoggin.report.wording import ABSENT, bands_text, clean, machine_verdict
from hoggin.schema.declared import results_of
from hoggin.schema.results import MachineResult, Results, StreamResult
from hoggin.view.items import items, water_key

LEAST = 1e-3  # of itself: other classes of size move a figure by less than this


@dataclass(frozen=True, slots=True)
class Figure:
    """As the page shows it; `value` is None for words."""

    text: str
    value: float | None = None

    def differs(self, other: Figure) -> bool:
        if self.value is None or other.value is None:
            return self.text != other.text
        near = math.isclose(self.value, other.value, rel_tol=LEAST)
        return self.text != other.text and not near


Figures = Mapping[str, Figure]  # by what they are called
_NONE = Figure(ABSENT)
NEW = "new"
_STREAM = tuple(one.field for one in results_of(StreamResult) if not one.quantity.sizes)
_KINDS = {"feed": "feeds", "machine": "machines", "product": "products", "stream": "streams"}


def changes(before: Results | None, now: Results | None) -> Mapping[str, tuple[str, ...]]:
    """By the key of each item that differs: `load 71.3 %, before 65.0 %`, or that it is new."""
    if before is None or now is None:
        return {}
    then = dict(_all(before))
    found: dict[str, tuple[str, ...]] = {}
    for key, figures in _all(now):
        if key not in then:
            found[key] = (NEW,)
            continue
        old = then[key]
        names = dict.fromkeys((*figures, *old))
        pairs = ((name, old.get(name, _NONE), figures.get(name, _NONE)) for name in names)
        said = [f"{n} {now.text}, before {was.text}" for n, was, now in pairs if now.differs(was)]
        if said:
            found[key] = tuple(said)
    return found


def summary(before: Results | None, now: Results | None, saved: bool = True) -> str:
    """`The last save changed 3 machines and 7 streams.`; "" where there was none."""
    if before is None or now is None:
        return ""
    cause = "The last save" if saved else "The unsaved text"
    found = changes(before, now)
    kept = items(now)
    counts = [
        (sum(item.kind == kind and item.key in found for item in kept), word)
        for kind, word in _KINDS.items()
    ]
    gone = {item.key for item in items(before)} - {item.key for item in kept}
    said = [f"{count} {word if count != 1 else word[:-1]}" for count, word in counts if count]
    changed = f"{cause} changed {_joined(said or ['no figure of the flowsheet'])}"
    return f"{changed} and removed {len(gone)}." if gone else f"{changed}."


def _joined(parts: list[str]) -> str:
    return " and ".join(filter(None, (", ".join(parts[:-1]), parts[-1])))


def _all(results: Results) -> Iterator[tuple[str, Figures]]:
    for feed in results.feeds:
        yield feed.tag, _read(feed, "rate_t_h", "moisture")
    for machine in results.machines:
        yield machine.tag, _of_machine(machine)
    for product in results.products:
        yield (
            product.tag,
            {**_read(product, "rate_t_h"), "specification": Figure(bands_text(product))},
        )
    for stream in results.streams:
        yield stream.name, _read(stream, *_STREAM)
    for water in results.water_streams:
        yield water_key(water), _read(water, "water_m3_h")


def _of_machine(machine: MachineResult) -> Figures:
    settings = {clean(one.name.replace("_", " ")): clean(one.text) for one in machine.settings}
    apertures = {f"{d.name} aperture": f"{d.aperture_mm:g} mm {d.shape}" for d in machine.decks}
    decks = {
        f"{deck.name} {name}": figure
        for deck in machine.decks
        for name, figure in _read(deck, "cut_size_mm", "area_use").items()
    }
    return {
        **{name: Figure(text) for name, text in {**settings, **apertures}.items()},
        **_read(machine, "count", "feed_t_h", "capacity_t_h", "load", "power_kw"),
        **decks,
        "verdict": Figure(machine_verdict(machine)),
    }


def _read(thing: BaseModel, *paths: str) -> Figures:
    """Results with their units, as a table has them."""
    found = {}
    for path in paths:
        field = result(type(thing), path)
        value = field.get(thing)
        text = f"{field.column.text(value)} {field.column.unit}".strip()
        found[field.column.heading] = Figure(text, value if isinstance(value, float) else None)
    return found
