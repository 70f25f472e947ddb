"""What the last save changed: the figures of each feed, machine, product and stream before it and
after it, as the page shows them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from pydantic import BaseModel

from hoggin.report.fields import result
from hoggin.report.wording import ABSENT, bands_text, clean, machine_verdict
from hoggin.schema.results import MachineResult, Results
from hoggin.view.items import items, water_key

Figures = Mapping[str, str]  # by what they are called
NEW = "new"
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
        said = [_changed(name, old.get(name, ABSENT), figures.get(name, ABSENT)) for name in names]
        if any(said):
            found[key] = tuple(filter(None, said))
    return found


def summary(before: Results | None, now: Results | None) -> str:
    """`The last save changed 3 machines and 7 streams.`; "" where there was none."""
    if before is None or now is None:
        return ""
    found = changes(before, now)
    kept = items(now)
    counts = [
        (sum(item.kind == kind and item.key in found for item in kept), word)
        for kind, word in _KINDS.items()
    ]
    gone = {item.key for item in items(before)} - {item.key for item in kept}
    said = [f"{count} {word if count != 1 else word[:-1]}" for count, word in counts if count]
    if not said and not gone:
        return "The last save changed no figure of the flowsheet."
    removed = f" {len(gone)} {'is' if len(gone) == 1 else 'are'} gone." if gone else ""
    return (f"The last save changed {_joined(said)}." if said else "") + removed


def _joined(parts: list[str]) -> str:
    return " and ".join(filter(None, (", ".join(parts[:-1]), parts[-1])))


def _changed(name: str, old: str, new: str) -> str:
    return "" if old == new else f"{name} {new}, before {old}"


def _all(results: Results) -> Iterator[tuple[str, Figures]]:
    for feed in results.feeds:
        yield feed.tag, _read(feed, "rate_t_h", "moisture")
    for machine in results.machines:
        yield machine.tag, _of_machine(machine)
    for product in results.products:
        yield product.tag, {**_read(product, "rate_t_h"), "specification": bands_text(product)}
    for stream in results.streams:
        paths = ("rate_t_h", "p80_mm", "p50_mm", "moisture", "slurry_m3_h", "solids")
        yield stream.name, _read(stream, *paths)
    for water in results.water_streams:
        yield water_key(water), _read(water, "water_m3_h")


def _of_machine(machine: MachineResult) -> Figures:
    return {
        **{clean(one.name.replace("_", " ")): clean(one.text) for one in machine.settings},
        **{f"{d.name} aperture": f"{d.aperture_mm:g} mm {d.shape}" for d in machine.decks},
        **_read(machine, "count", "feed_t_h", "capacity_t_h", "load", "power_kw"),
        **{f"{d.name} {name}": text for d in machine.decks
           for name, text in _read(d, "cut_size_mm", "area_use").items()},
        "verdict": machine_verdict(machine),
    }  # fmt: skip


def _read(thing: BaseModel, *paths: str) -> Figures:
    """Results with their units, as a table has them."""
    found = {}
    for path in paths:
        field = result(type(thing), path)
        text = field.column.text(field.get(thing))
        found[field.column.heading] = f"{text} {field.column.unit}".strip()
    return found
