"""Two revisions in one flowsheet: what is as before, what is new, changed or removed.

Shown by words and by the kind of line, never by colour: new is drawn heavy and says NEW, what is
removed is dotted and says TAKEN OUT, what differs says how, before and after.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

from hoggin.report import flowsheet, wording
from hoggin.report.flowsheet import Box, Drawn, Line, wrapped
from hoggin.report.layout import Fold
from hoggin.revise.compare.comparison import Change, Comparison, Consequence
from hoggin.schema.results import FeedResult, MachineResult, ProductResult, Results, StreamResult
from hoggin.schema.units import result_unit

_Thing = TypeVar("_Thing", FeedResult, MachineResult, ProductResult)

_NEW, _GONE = "NEW", "TAKEN OUT"
_HEAVY = 3
_FIRST = {"rate": 0, "feed": 0, "load": 1, "power": 2, "P80": 3}
_MOST_FACTS = 6  # of what differs at one box; the tables have the rest


@dataclass(frozen=True, slots=True)
class _Union:
    """Both plants as one: AFTER, with what only BEFORE has under a tag of its own."""

    results: Results
    gone: frozenset[str]  # tags
    gone_streams: frozenset[str]  # names
    new: frozenset[str]
    new_streams: frozenset[str]


def dot(before: Results, after: Results, comparison: Comparison) -> str:
    """The drawing in the DOT language. Raises: HogginError where it cannot be laid out."""
    union = _united(before, after, comparison.renamed)
    facts = _Facts(comparison)
    return flowsheet.folded(
        union.results, lambda way, sheet: _picture(union, facts, comparison, way, sheet)
    )


def _united(before: Results, after: Results, renamed: Mapping[str, str]) -> _Union:
    kinds = dict(_kinds(after))
    tags = {}
    gone = set()
    for tag, kind in _kinds(before):
        now = renamed.get(tag, tag)
        tags[tag] = now if kinds.get(now, kind) == kind else f"{now} before"
        if kinds.get(now) != kind:
            gone.add(tags[tag])
    moved = [_retagged(stream, tags) for stream in before.streams]
    known, was = set(map(_way, after.streams)), set(map(_way, moved))
    gone_streams = [stream for stream in moved if _way(stream) not in known]

    def added(things: Iterable[_Thing]) -> list[_Thing]:
        named = (thing.model_copy(update={"tag": tags[thing.tag]}) for thing in things)
        return [thing for thing in named if thing.tag in gone]

    united = after.model_copy(
        update={
            "feeds": (*after.feeds, *added(before.feeds)),
            "machines": (*after.machines, *added(before.machines)),
            "products": (*after.products, *added(before.products)),
            "streams": (*after.streams, *gone_streams),
        }
    )
    return _Union(
        results=united,
        gone=frozenset(gone),
        gone_streams=frozenset(s.name for s in gone_streams),
        new=frozenset(kinds) - frozenset(tags.values()),
        new_streams=frozenset(s.name for s in after.streams if _way(s) not in was),
    )


def _way(stream: StreamResult) -> tuple[str, str, str]:
    return stream.source, stream.outlet, stream.target


def _kinds(results: Results) -> Iterable[tuple[str, str]]:
    yield from ((feed.tag, "feed") for feed in results.feeds)
    yield from ((machine.tag, machine.kind) for machine in results.machines)
    yield from ((product.tag, "product") for product in results.products)


def _retagged(stream: StreamResult, tags: Mapping[str, str]) -> StreamResult:
    source, target = tags[stream.source], tags[stream.target]
    moved = stream.model_copy(update={"source": source, "target": target})
    return moved.model_copy(update={"name": f"{wording.outlet_of(moved)} -> {target}"})


class _Facts:
    """What differs, by the subject that it belongs to."""

    def __init__(self, comparison: Comparison) -> None:
        self.changes: dict[str, list[Change]] = defaultdict(list)
        for change in comparison.changes:
            if change.kind in ("changed", "renamed"):
                self.changes[change.subject].append(change)
        self.consequences: dict[str, list[Consequence]] = defaultdict(list)
        for consequence in comparison.consequences:
            self.consequences[consequence.subject].append(consequence)

    def stated(self, subject: str) -> tuple[str, ...]:
        """`css 40 mm -> 36 mm`, `was called second`."""
        rows = [
            f"was called {change.before}"
            if change.kind == "renamed"
            else f"{change.what} {change.before} -> {change.after}"
            for change in self.changes[subject]
        ]
        if len(rows) > _MOST_FACTS:
            rows = [*rows[: _MOST_FACTS - 1], "and more: see the tables"]
        return tuple(row for fact in rows for row in wrapped(fact))

    def followed(self, subject: str) -> tuple[str, ...]:
        """`450.0 -> 480.0 t/h`, `load 88.1 -> 93.4 %`, `48.2 -> 52.3 % < 31.5 mm`."""
        found = self.consequences[subject]
        both = [c for c in found if c.before is not None and c.after is not None]
        both.sort(key=lambda c: (_FIRST.get(c.what, len(_FIRST)), -c.weight))
        return tuple(row for c in both for row in wrapped(_arrow(c)))


def _arrow(c: Consequence) -> str:
    numbers = f"{_number(c.before or 0.0, c.unit)} -> {_number(c.after or 0.0, c.unit)} {c.unit}"
    if c.what.startswith("passing "):
        return f"{numbers} < {c.what.removeprefix('passing ')}"
    return numbers if c.what in ("rate", "feed") else f"{c.what} {numbers}"


def _number(value: float, unit: str) -> str:
    return wording.fixed(value, 2 if (result_unit(unit) or unit) in ("mm", "", "kWh/t") else 1)


def _picture(union: _Union, facts: _Facts, comparison: Comparison, way: Fold, sheet: str) -> Drawn:
    results = union.results
    plain = (
        *map(flowsheet.feed_box, results.feeds),
        *(flowsheet.machine_box(results, machine) for machine in results.machines),
        *map(flowsheet.product_box, results.products),
    )
    boxes = [
        _box(union, facts, box, f"{kind} {tag}")
        for box, (tag, kind) in zip(plain, _kinds(results), strict=True)
    ]
    ported = {box.tag for box in boxes if box.ports}
    lines = [
        _line(union, facts, flowsheet.line(results, way, ported, stream), stream)
        for stream in results.streams
    ]
    return Drawn(
        title=wrapped(f"Comparison: {results.title}", flowsheet.TITLE_WIDTH),
        notes=_notes(comparison, sheet, broken=len(way.heads) > 1),
        boxes=tuple(boxes),
        lines=tuple(lines),
        heads=way.heads,
    )


def _box(union: _Union, facts: _Facts, box: Box, subject: str) -> Box:
    """The box with only what differs beside its name and kind; limits are the schedule's."""
    plain = replace(
        box,
        rows=box.rows[:1],
        alarms=(),
        ports=tuple(replace(port, rows=port.rows[:2], alarms=()) for port in box.ports),
        weight=1,
    )
    if box.tag in union.gone:
        return replace(plain, alarms=(_GONE,), dotted=True)
    if box.tag in union.new:
        return replace(plain, rows=box.rows, alarms=(_NEW,), weight=_HEAVY)
    rows = (*plain.rows, *facts.followed(subject))
    return replace(plain, rows=rows, alarms=facts.stated(subject))


def _line(union: _Union, facts: _Facts, line: Line, stream: StreamResult) -> Line:
    if stream.name in union.gone_streams:
        return replace(line, rows=line.rows[:1], alarms=(_GONE,), dotted=True)
    if stream.name in union.new_streams:
        return replace(line, alarms=(_NEW,), heavy=True)
    followed = facts.followed(f"stream {stream.name}")
    return replace(line, rows=followed or line.rows[:1])


def _notes(comparison: Comparison, sheet: str, *, broken: bool) -> tuple[str, ...]:
    sides = (
        f"{word}: {wording.clean(side.name)}, revision {wording.clean(side.revision) or '-'}"
        for word, side in (("Before", comparison.before), ("After", comparison.after))
    )
    return (
        *(row for side in sides for row in wrapped(side, 2 * flowsheet.TITLE_WIDTH)),
        "Heavy line and NEW: only after. Dotted line and TAKEN OUT: only before. "
        "Bold words: changed statements.",
        f"Results with an arrow differ by a weight of {comparison.threshold:g} or more; "
        "rates without an arrow are those of after. Dashed line: recirculating.",
        *(("Words 'to' and 'from' in bold: the line continues there.",) if broken else ()),
        f"Text is {flowsheet.LEGIBLE_POINTS:.0f} pt or more on {sheet} landscape and larger.",
        f"{wording.PREDICTION} {wording.DEFERENCE}",
    )
