"""What two plants state differently. Order, layout, units and file names make no difference."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import chain, zip_longest
from typing import Any, Literal, TypeVar

from pydantic import BaseModel

from hoggin.revise.compare.cases import case_changes
from hoggin.revise.compare.comparison import Change
from hoggin.revise.compare.matching import Matching, title_of
from hoggin.revise.compare.requirements import pair_requirements, same_limits
from hoggin.revise.compare.words import Units, close, label, numbers, said_in, units_for
from hoggin.schema.facts import listed_of, operation_of
from hoggin.schema.plant import (
    ClassRecord,
    Deck,
    Feed,
    Limit,
    Listed,
    Machine,
    MachineOperation,
    Material,
    Meets,
    Plant,
    Product,
    Requirement,
    Revision,
    Stream,
)

_LISTED = set(Listed.model_fields)
_UNSEEN = {"tag", "name", "place", "kind", "text"}
_Difference = tuple[str, str, str]  # what, before, after
_Thing = TypeVar("_Thing", Feed, Machine, Material, Product)
_Item = Feed | Machine | Product


def changes(before: Plant, after: Plant, matching: Matching) -> tuple[Change, ...]:
    """All changes: plant, materials, feeds, machines, routes, products, requirements, classes."""
    after = after.model_copy(update={"units": units_for(before, after)})
    parts = (_materials, _feeds, _machines, _routes, _products, _requirements, _classes)
    found = (part(before, after, matching) for part in parts)
    return (*_plant(before, after), *chain.from_iterable(found), *case_changes(before, after))


def _changed(subject: str, differences: Iterable[_Difference]) -> Iterator[Change]:
    for what, old, new in differences:
        yield Change(kind="changed", subject=subject, what=what, before=old, after=new)


def _things(
    before: Iterable[_Thing],
    after: Iterable[_Thing],
    found: Mapping[str, str],
    added: Callable[[_Thing], str],
    removed: Callable[[_Thing], str],
    differing: Callable[[_Thing, _Thing], Iterable[_Difference]],
) -> Iterator[Change]:
    """Things of one kind that were added, renamed, changed or removed. `found` leads from an old
    name to the new one; `added` and `removed` describe a whole thing."""
    old, new = _by_name(before), _by_name(after)
    was = {found[name]: name for name in old if name in found}
    for name, thing in new.items():
        subject = _subject(thing)
        if name not in was:
            yield _whole("added", subject, added(thing))
            continue
        if was[name] != name:
            yield Change(kind="renamed", subject=subject, what="name", before=was[name], after=name)
        yield from _changed(subject, differing(old[was[name]], thing))
    for name, thing in old.items():
        if name not in found:
            yield _whole("removed", _subject(thing), removed(thing))


def _name(thing: _Thing) -> str:
    return thing.name if isinstance(thing, Material) else thing.tag


def _by_name(things: Iterable[_Thing]) -> dict[str, _Thing]:
    return {_name(thing): thing for thing in things}


def _subject(thing: _Thing) -> str:
    kind = thing.kind if isinstance(thing, Machine) else type(thing).__name__.lower()
    return f"{kind} {_name(thing)}"


def _whole(kind: Literal["added", "removed"], subject: str, said: str) -> Change:
    before, after = (None, said) if kind == "added" else (said, None)
    return Change(kind=kind, subject=subject, what="", before=before, after=after)


def _fields(
    old: BaseModel, new: BaseModel, unseen: set[str], units: Units
) -> Iterator[_Difference]:
    """Fields of plain values that differ, in the order they are declared."""
    for name in type(new).model_fields:
        a, b = getattr(old, name), getattr(new, name)
        if name in _UNSEEN | unseen or _same(a, b):
            continue
        what, unit = label(name)
        if name.endswith("_h") and isinstance(a, tuple) and isinstance(b, tuple):
            yield what, _hours(a), _hours(b)
        elif _is_curve(a) or _is_curve(b):
            yield what, *_curves(a or (), b or (), units)
        elif isinstance(a, float | None) and isinstance(b, float | None):
            yield what, *numbers(a, b, unit, units)
        else:
            yield what, _said(a), _said(b)


def _hours(pairs: Sequence[tuple[float, float]]) -> str:
    return ", ".join(f"{first:.6g} h / {second:.6g} h" for first, second in pairs) or "-"


def _same(a: Any, b: Any) -> bool:
    """Equal, floats but for what a change of unit leaves."""
    if isinstance(a, float) and isinstance(b, float):
        return close(a, b)
    if isinstance(a, tuple) and isinstance(b, tuple):
        return len(a) == len(b) and all(map(_same, a, b))
    if isinstance(a, Mapping) and isinstance(b, Mapping):
        return a.keys() == b.keys() and all(_same(a[key], b[key]) for key in a)
    return bool(a == b)


def _said(value: object) -> str:
    if value is None or value == "":
        return "-"
    if isinstance(value, tuple):
        return ", ".join(map(_said, value))
    return f"{value:.12g}" if isinstance(value, float) else str(value)


def _is_curve(value: Any) -> bool:
    """Points of (size mm, share); hours are shown as they are."""
    return isinstance(value, tuple) and bool(value) and isinstance(value[0], tuple)


def _curves(
    a: Sequence[tuple[float, float]], b: Sequence[tuple[float, float]], units: Units
) -> tuple[str, str]:
    """The points of two curves that are not on the other, shares in per cent."""

    def points(curve: Sequence[tuple[float, float]], other: Sequence[tuple[float, float]]) -> str:
        own = [p for p in curve if not any(_same(p, q) for q in other)]
        said = (f"{said_in(size, 'mm', units)}: {100 * share:.6g} %" for size, share in own)
        return ", ".join(said) or "-"

    return points(a, b), points(b, a)


# -- plant, materials, feeds, products ----------------------------------------------------------


def _plant(before: Plant, after: Plant) -> Iterator[Change]:
    structure = {"materials", "feeds", "machines", "streams", "products", "requirements", "classes"}
    apart = {
        "project",
        "sieves_mm",
        "revisions",
        "aims",
        "shifts",
        "open",
        "units",
        "checks",
        "cases",
    }
    fields = _fields(before, after, structure | apart, after.units)
    yield from _changed("plant", fields)
    yield from _changed("plant", _said_otherwise(_words(before), _words(after)))
    aims, aimed = ({aim.text for aim in plant.aims} for plant in (before, after))
    if aims != aimed:
        gone_aims, come_aims = (", ".join(sorted(s)) or "-" for s in (aims - aimed, aimed - aims))
        yield from _changed("plant", [("aims", gone_aims, come_aims)])
    if not _same(before.sieves_mm, after.sieves_mm):
        a, b = before.sieves_mm, after.sieves_mm
        said, says = (_sizes_apart(*sizes, after.units) for sizes in ((a, b), (b, a)))
        yield from _changed("plant", [("sieves", said, says)])


def _words(plant: Plant) -> dict[str, str]:
    """A plant's own texts, and what it leaves open or uncertain."""
    shifts = (" ".join(map(_said, shift.model_dump().values())) for shift in plant.shifts)
    found = {f"history of {one.mark}": _issue(one) for one in plant.revisions}
    found |= {label(name)[0]: text for name, text in plant.project.model_dump().items()}
    found["shifts"] = ", ".join(shifts) or "-"
    found["checks"] = ", ".join(plant.checks) or "-"
    for one in plant.open:
        found[f"open {one.name}"] = one.text
        found |= {f"option {option} of {one.name}": said for option, said in one.options.items()}
    return found


def _issue(revision: Revision) -> str:
    """A line of the revision table."""
    said = revision.model_dump(exclude={"mark", "text"}).items()
    return ", ".join([revision.text, *(f"{name} {text}" for name, text in said if text)])


def _said_otherwise(old: Mapping[str, str], new: Mapping[str, str]) -> Iterator[_Difference]:
    for name in {**new, **old}:
        said = old.get(name) or "-", new.get(name) or "-"
        if said[0] != said[1]:
            yield name, *said


def _sizes_apart(own: Sequence[float], others: Sequence[float], units: Units) -> str:
    apart = (size for size in own if not any(close(size, other) for other in others))
    return ", ".join(said_in(size, "mm", units) for size in apart) or "-"


def _materials(before: Plant, after: Plant, matching: Matching) -> Iterator[Change]:
    def added(material: Material) -> str:
        return f"work index {said_in(material.work_index_kwh_t, 'kWh/t', after.units)}"

    def differing(old: Material, new: Material) -> Iterator[_Difference]:
        return _fields(old, new, set(), after.units)

    old, new = before.materials.values(), after.materials.values()
    return _things(old, new, matching.materials, added, _name, differing)


def _feeds(before: Plant, after: Plant, matching: Matching) -> Iterator[Change]:
    def added(feed: Feed) -> str:
        return f"{rate(feed)} of {feed.material}"

    def rate(feed: Feed) -> str:
        return said_in(feed.rate_t_h, "t/h", after.units)

    def differing(old: Feed, new: Feed) -> Iterator[_Difference]:
        same_rock = matching.materials.get(old.material) == new.material
        unseen = _LISTED | ({"material"} if same_rock else set())
        return chain(_listed(old, new), _fields(old, new, unseen, after.units))

    return _things(before.feeds, after.feeds, matching.nodes, added, rate, differing)


def _products(before: Plant, after: Plant, matching: Matching) -> Iterator[Change]:
    def title(product: Product) -> str:
        return product.title

    return _things(before.products, after.products, matching.nodes, title, title, _listed)


# -- machines -----------------------------------------------------------------------------------


def _machines(before: Plant, after: Plant, matching: Matching) -> Iterator[Change]:
    classes, now = _records(before), _records(after)

    def words(machine: Machine) -> str:
        return machine_words(machine, after.units)

    def differing(old: Machine, new: Machine) -> Iterable[_Difference]:
        was_class, is_class = classes.get(old.class_path), now.get(new.class_path)
        named = ({"class": one.name} if one else {} for one in (was_class, is_class))
        stated = [*_said_otherwise(*named), *_stated(old, new, after.units)]
        if not stated and was_class and is_class and was_class.lines == is_class.lines:
            # The same words give other numbers: another compiler read them.
            return _derived(old, new, after.units)
        return stated

    return _things(before.machines, after.machines, matching.nodes, words, words, differing)


def machine_words(machine: Machine, units: Units) -> str:
    """`cones.high_pivot, css 15 mm, duty tertiary`: what a machine states, in one line."""
    stated = [f"{setting.name} {setting.text}" for setting in machine.settings]
    stated += [f"{deck.name} {_deck_words(deck, units)}" for deck in machine.decks]
    several = f"{machine.count:g} x " if machine.count != 1 else ""
    return ", ".join([several + (machine.class_name or machine.kind), *stated])


def _records(plant: Plant) -> dict[str, ClassRecord]:
    return {record.path: record for record in plant.classes}


def _stated(old: Machine, new: Machine, units: Units) -> Iterator[_Difference]:
    """The differences in a machine's own lines."""
    yield from _listed(old, new)
    if old.count != new.count:
        yield "count", f"{old.count:g}", f"{new.count:g}"
    settings = {s.name: s for s in old.settings}
    for setting in new.settings:
        was = settings.pop(setting.name, None)
        if was is None or was.value is None or setting.value is None or was.unit != setting.unit:
            if was is None or was.text != setting.text:
                yield setting.name, "-" if was is None else was.text, setting.text
        elif not close(was.value, setting.value):
            yield setting.name, *numbers(was.value, setting.value, setting.unit, {})
    for gone in settings.values():
        yield gone.name, gone.text, "-"
    yield from _decks(old, new, units)
    if not {s.name for s in old.settings} & {s.name for s in new.settings} & {"position"}:
        yield from _numbers("share ", old.shares, new.shares, units, "%")
    yield from _numbers("asked ", old.asked_t_h, new.asked_t_h, units, "t/h")
    yield from _numbers("", _own_facts(old), _own_facts(new), units)
    was_run, is_run = (m.operation or MachineOperation() for m in (old, new))
    yield from _fields(was_run, is_run, set(), units)
    for role in sorted(old.models.keys() & new.models.keys()):
        if old.models[role].model != new.models[role].model:
            yield f"{role} model", old.models[role].model, new.models[role].model


def _own_facts(machine: Machine) -> dict[str, float]:
    """Numbers that a machine states: all of a bin's or stockpile's, of others their operation's."""
    of_operation = {fact.field for fact in operation_of(machine.kind).values()}
    facts = machine.facts.items()
    return {n: v for n, v in facts if not machine.class_path or n in of_operation}


def _listed(old: _Item, new: _Item) -> Iterator[_Difference]:
    """What documents say of a thing."""
    for what in listed_of("splitter"):  # a machine has all of them
        said, says = (_said_of(thing, what) for thing in (old, new))
        if said != says:
            yield what, said, says
    gone, come = Counter(old.notes) - Counter(new.notes), Counter(new.notes) - Counter(old.notes)
    for before, after in zip_longest(gone.elements(), come.elements(), fillvalue="-"):
        yield "note", before, after


def _said_of(thing: _Item, what: str) -> str:
    if what == "title":
        return title_of(thing) or "-"
    value = getattr(thing, "item_tag" if what == "tag" else what, "")
    return "yes" if value is True else value or "-"


def _decks(old: Machine, new: Machine, units: Units) -> Iterator[_Difference]:
    was = {deck.name: deck for deck in old.decks}
    for deck in new.decks:
        before = was.pop(deck.name, None)
        if before is None:
            yield f"deck {deck.name}", "-", _deck_words(deck, units)
            continue
        for what, first, second in _fields(before, deck, set(), units):
            yield f"deck {deck.name} {what}", first, second
    for deck in was.values():
        yield f"deck {deck.name}", _deck_words(deck, units), "-"


def _deck_words(deck: Deck, units: Units) -> str:
    return f"{said_in(deck.aperture_mm, 'mm', units)} {deck.shape}"


def _numbers(
    before_name: str,
    old: Mapping[str, float],
    new: Mapping[str, float],
    units: Units,
    unit: str | None = None,
) -> Iterator[_Difference]:
    for name in {**old, **new}:
        a, b = old.get(name), new.get(name)
        if a is None or b is None or not close(a, b):
            what, its_unit = label(name)
            yield before_name + what, *numbers(a, b, its_unit if unit is None else unit, units)


def _derived(old: Machine, new: Machine, units: Units) -> Iterator[_Difference]:
    """Numbers that follow from a class, facts and coefficients alike."""
    yield from _numbers("", old.facts, new.facts, units)
    for role in sorted(old.models.keys() & new.models.keys()):
        first, second = old.models[role].coefficients, new.models[role].coefficients
        yield from _numbers(f"{role} {new.models[role].model} ", first, second, {})


# -- routes and requirements --------------------------------------------------------------------


def _routes(before: Plant, after: Plant, matching: Matching) -> Iterator[Change]:
    """Routes between other places. An outlet's only route that leads elsewhere is changed."""
    was: dict[tuple[str, str, str], Stream] = {}
    for s in before.streams:
        ends = (matching.nodes.get(s.source, ""), matching.nodes.get(s.target, ""))
        was[ends[0] or f"gone {s.source}", s.outlet, ends[1] or f"gone {s.target}"] = s
    now = {(s.source, s.outlet, s.target): s for s in after.streams}
    gone = [key for key in was if key not in now]
    come = [key for key in now if key not in was]
    for key in come:
        outlet = next((old for old in gone if old[:2] == key[:2]), None)
        if outlet is None:
            yield _whole("added", "route", now[key].name)
            continue
        gone.remove(outlet)
        subject = f"route from {now[key].name.partition(' -> ')[0]}"
        yield from _changed(subject, [("leads to", was[outlet].target, now[key].target)])
    for key in gone:
        yield _whole("removed", "route", was[key].name)


def _requirements(before: Plant, after: Plant, matching: Matching) -> Iterator[Change]:
    for i, j in pair_requirements(before, after, matching):
        old = None if i is None else before.requirements[i]
        new = None if j is None else after.requirements[j]
        if old is not None and new is not None:
            if not same_limits(old, new):
                yield from _changed("requirement", _limits(old, new, after.units))
        elif new is not None:
            yield _whole("added", "requirement", new.text)
        elif old is not None:
            yield _whole("removed", "requirement", old.text)


def _limits(old: Requirement, new: Requirement, units: Units) -> Iterator[_Difference]:
    if isinstance(old, Meets) and isinstance(new, Meets):
        a, b = ([(p.size_mm, p.low, p.high) for p in r.band.points] for r in (old, new))
        said, says = ([p for p in own if p not in other] for own, other in ((a, b), (b, a)))
        yield f"limits of {new.band.name}", _band_points(said, units), _band_points(says, units)
    elif isinstance(old, Limit) and isinstance(new, Limit):
        yield "limit", old.text, new.text


def _band_points(points: Sequence[tuple[float, float, float]], units: Units) -> str:
    said = (
        f"{said_in(size, 'mm', units)}: {100 * low:.6g} % to {100 * high:.6g} %"
        for size, low, high in points
    )
    return ", ".join(said) or "-"


# -- classes ------------------------------------------------------------------------------------


def _classes(before: Plant, after: Plant, matching: Matching) -> Iterator[Change]:
    """What the class of a machine states differently, by the class's own name: where it is makes
    no difference. Another class in its place is shown at the machine; one that has a new name, and
    is nowhere as it was, is the same one."""
    was, now = _records(before), _records(after)
    new_machines = _by_name(after.machines)
    pairs = {
        (old.class_path, new_machines[matching.nodes[old.tag]].class_path): None
        for old in before.machines
        if matching.nodes.get(old.tag) in new_machines
    }
    names = [{record.name for record in records.values()} for records in (was, now)]
    for old_path, new_path in sorted(pairs):
        first, second = was.get(old_path), now.get(new_path)
        if first is None or second is None:
            continue
        if first.name != second.name and (first.name in names[1] or second.name in names[0]):
            continue
        differences = _said_otherwise(first.lines, second.lines)
        yield from _changed(f"class {second.path}", sorted(differences))
