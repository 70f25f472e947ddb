"""Two revisions as one plant: the later one, with what only the earlier one has."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from hoggin.report import wording
from hoggin.report.drawing.diagram import Revised
from hoggin.revise.compare.comparison import Change, Comparison
from hoggin.schema.kinds import DECK_ORDER
from hoggin.schema.plant import Machine
from hoggin.schema.results import FeedResult, MachineResult, ProductResult, Results, StreamResult

_Thing = TypeVar("_Thing", FeedResult, MachineResult, ProductResult)
_FORMER = "ex {}"  # the number of a removed stream, which may be another's by now


@dataclass(frozen=True, slots=True)
class Told:
    """A change, and the keys in the drawing of what it is about: "machine primary", "stream 7".
    A route that leads elsewhere is about two streams, a change of a rock about none."""

    change: Change
    of: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Union:
    """Both plants in one document, to be drawn and not to be read for its numbers.

    revised: what is new, changed or removed, by its key in the drawing.
    subjects: the keys of what a comparison has results of.
    """

    results: Results
    revised: Mapping[str, Revised]
    changes: tuple[Told, ...]
    subjects: Mapping[str, str]


def united(before: Results, after: Results, comparison: Comparison) -> Union:
    """A removed thing keeps its name, or gets another where the later plant uses it again."""
    names = _names(before, after, comparison)
    there = {tag for _, tag in _things(after)}
    moved = [_renamed(stream, names) for stream in before.streams]
    was, now = {_way(stream) for stream in moved}, {_way(stream) for stream in after.streams}
    come = [stream for stream in after.streams if _way(stream) not in was]
    gone = [
        (old, stream)
        for old, stream in zip(before.streams, moved, strict=True)
        if _way(stream) not in now
    ]
    removed = {
        f"{kind} {tag}": _of_node(names[tag])
        for kind, tag in _things(before)
        if names[tag] not in there
    }
    known = {f"{kind} {tag}": _of_node(tag) for kind, tag in _things(after)}
    told = tuple(
        Told(change, tuple(_keys(change, known, removed, come, gone)))
        for change in comparison.changes
    )
    revised: dict[str, Revised] = {
        key: "new" if one.change.kind == "added" else "changed" for one in told for key in one.of
    }
    revised |= {_of_stream(stream): "new" for stream in come}
    revised |= {_of_stream(stream): "removed" for _, stream in gone}
    revised |= dict.fromkeys(removed.values(), "removed")
    subjects = removed | known
    subjects |= {_subject(old): _of_stream(stream) for old, stream in gone}
    subjects |= {_subject(stream): _of_stream(stream) for stream in after.streams}
    left = [stream for _, stream in gone]
    return Union(_with_removed(before, after, names, left), revised, told, subjects)


def _names(before: Results, after: Results, comparison: Comparison) -> Mapping[str, str]:
    """What each thing of the earlier plant is called in the drawing."""
    gone = {change.subject for change in comparison.changes if change.kind == "removed"}
    taken = {tag for _, tag in _things(after)}
    names = {}
    for kind, tag in _things(before):
        if f"{kind} {tag}" not in gone:
            names[tag] = comparison.renamed.get(tag, tag)
        else:
            names[tag] = f"{tag} before" if tag in taken else tag
    return names


def _things(results: Results) -> Iterator[tuple[str, str]]:
    """The kind and the tag of each feed, machine and product, as a comparison has them."""
    yield from (("feed", feed.tag) for feed in results.feeds)
    yield from ((machine.kind, machine.tag) for machine in results.machines)
    yield from (("product", product.tag) for product in results.products)


def _way(stream: StreamResult) -> tuple[str, str, str]:
    return stream.source, stream.outlet, stream.target


def _renamed(stream: StreamResult, names: Mapping[str, str]) -> StreamResult:
    """A stream of the earlier plant, between the names of the drawing."""
    ends = {"source": names[stream.source], "target": names[stream.target]}
    moved = stream.model_copy(update={**ends, "number": _FORMER.format(stream.number)})
    return moved.model_copy(update={"name": f"{wording.outlet_of(moved)} -> {moved.target}"})


def _subject(stream: StreamResult) -> str:
    return f"stream {wording.outlet_of(stream)} -> {stream.target}"


def _of_node(name: str) -> str:
    return f"machine {name}"


def _of_stream(stream: StreamResult) -> str:
    return f"stream {stream.number}"


def _keys(
    change: Change,
    known: Mapping[str, str],
    removed: Mapping[str, str],
    come: Sequence[StreamResult],
    gone: Sequence[tuple[StreamResult, StreamResult]],
) -> Iterator[str]:
    """What a change is about. `gone` are streams with the names of the earlier plant, and with
    those of the drawing."""
    nodes = removed if change.kind == "removed" else known
    if change.subject in nodes:
        yield nodes[change.subject]
    for stream in come:
        if (change.subject, change.after) in _route(stream, stream):
            yield _of_stream(stream)
    for old, stream in gone:
        if (change.subject, change.before) in _route(stream, old):
            yield _of_stream(stream)


def _route(stream: StreamResult, named: StreamResult) -> tuple[tuple[str, str], ...]:
    """How a comparison says that a stream came or went: as a route of its own, or as where an
    outlet leads to. `named` has the names of its own plant."""
    return ("route", named.name), (f"route from {wording.outlet_of(stream)}", named.target)


def _with_removed(
    before: Results, after: Results, names: Mapping[str, str], left: Sequence[StreamResult]
) -> Results:
    """The later document with the removed things and streams."""
    there = {tag for _, tag in _things(after)}

    def merged(old: Sequence[_Thing], new: Sequence[_Thing]) -> tuple[_Thing, ...]:
        return _in_order(old, new, lambda thing: names[thing.tag], there)

    assert before.plant is not None and after.plant is not None
    stated: tuple[Machine, ...] = tuple(
        machine.model_copy(update={"tag": names[machine.tag]})
        for machine in before.plant.machines
        if names[machine.tag] not in there
    )
    plant = after.plant.model_copy(update={"machines": (*after.plant.machines, *stated)})
    return after.model_copy(
        update={
            "feeds": merged(before.feeds, after.feeds),
            "machines": merged(before.machines, _decked(before, after, names)),
            "products": merged(before.products, after.products),
            "streams": (*after.streams, *left),
            "plant": plant,
        }
    )


def _decked(before: Results, after: Results, names: Mapping[str, str]) -> tuple[MachineResult, ...]:
    """The later machines, with the decks that screens have lost: removed streams leave there."""
    had = {names[machine.tag]: machine.decks for machine in before.machines}
    found = []
    for machine in after.machines:
        own = {deck.name for deck in machine.decks}
        lost = [deck for deck in had.get(machine.tag, ()) if deck.name not in own]
        decks = sorted((*machine.decks, *lost), key=lambda deck: DECK_ORDER[deck.name])
        found.append(machine.model_copy(update={"decks": tuple(decks)}) if lost else machine)
    return tuple(found)


def _in_order(
    old: Sequence[_Thing],
    new: Sequence[_Thing],
    name: Callable[[_Thing], str],
    there: set[str],
) -> tuple[_Thing, ...]:
    """The new things with each removed one behind what it came after, in the order of flow."""
    found = list(new)
    place = 0
    for thing in old:
        if name(thing) in there:
            place = next((n for n, one in enumerate(found, 1) if one.tag == name(thing)), place)
        else:
            found.insert(place, thing.model_copy(update={"tag": name(thing)}))
            place += 1
    return tuple(found)
