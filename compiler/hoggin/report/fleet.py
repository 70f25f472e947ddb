"""Two folders of plants as one document: a row a plant, then what is worse and what is broken."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

from hoggin.report import wording
from hoggin.report.fields import number, table, verdict, words
from hoggin.report.tables import Document, Section
from hoggin.revise.compare.comparison import Comparison
from hoggin.revise.compare.fleet import Fleet, FleetEntry, Status, worse

_STATUSES: tuple[Status, ...] = ("same", "differs", "renamed", "added", "removed", "broken")


def document(fleet: Fleet) -> Document:
    """The fleet table for a terminal and Markdown; each plant's own comparison follows it."""
    counts = Counter(entry.status for entry in fleet.plants)
    said = ", ".join(f"{counts[word]} {word}" for word in _STATUSES if counts[word])
    fields = (
        words("plant", lambda entry: entry.path, 36),
        verdict(lambda e: "BROKEN" if e.status == "broken" else e.status, 10),
        number("changes", "", "count", lambda e: _count(e, lambda c: len(c.changes))),
        number("requirements that changed", "", "count", lambda e: _count(e, _turned)),
        number("limits that changed", "", "count", lambda e: _count(e, lambda c: len(c.turns))),
        words("product that changed most", _moved, 44),
    )
    compared = [(entry, entry.comparison) for entry in fleet.plants if entry.comparison]
    lost = [f"{entry.path}: {text}" for entry, found in compared for text in worse(found)]
    renamed = [f"{e.was} is {e.path} now" for e in fleet.plants if e.status == "renamed"]
    broken = [f"{e.path}: {wording.clean(e.fault)}" for e in fleet.plants if e.fault]
    sections = (
        Section("Plants", (f"{said}.",), table("Plants", fields, fleet.plants)),
        Section("Worse than before", points=tuple(lost)),
        Section("Renamed", points=tuple(renamed)),
        Section("Could not be compared", points=tuple(broken)),
    )
    subtitle = f"Before: {wording.clean(fleet.before)}; after: {wording.clean(fleet.after)}."
    kept = tuple(section for section in sections if section.says)
    return Document("Comparison of two folders", subtitle, kept)


def _count(entry: FleetEntry, count: Callable[[Comparison], int]) -> int | None:
    return None if entry.comparison is None else count(entry.comparison)


def _turned(comparison: Comparison) -> int:
    return sum(change.turned for change in comparison.requirements)


def _moved(entry: FleetEntry) -> str:
    """`chips: 92.4 t/h -> 88.1 t/h`"""
    if entry.comparison is None:
        return ""
    rates = [c for c in entry.comparison.consequences if c.group == "product" and c.what == "rate"]
    if not rates:
        return ""
    most = max(rates, key=lambda c: c.weight)
    before, after = (wording.rate(value) for value in (most.before, most.after))
    return f"{most.subject.removeprefix('product ')}: {before} -> {after} {most.unit}"
