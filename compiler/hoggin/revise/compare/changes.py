"""What two plants state otherwise. Order, layout, units and names of files make no difference."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from pydantic import BaseModel

from hoggin.revise.compare.comparison import Change
from hoggin.revise.compare.matching import Matching
from hoggin.revise.compare.requirements import pair_requirements, same_limits
from hoggin.revise.compare.words import Units, close, label, numbers, said_in
from hoggin.schema.plant import (
    ClassRecord,
    Deck,
    Limit,
    Machine,
    MachineOperation,
    Meets,
    Plant,
    Requirement,
    Stream,
)

_UNSEEN = {"tag", "name", "place", "kind", "text"}
_Difference = tuple[str, str, str]  # what, before, after


def changes(before: Plant, after: Plant, matching: Matching) -> tuple[Change, ...]:
    """All changes: plant, materials, feeds, machines, routes, products, requirements, classes."""
    return (
        *_plant(before, after),
        *_materials(before, after, matching),
        *_feeds(before, after, matching),
        *_machines(before, after, matching),
        *_routes(before, after, matching),
        *_products(before, after, matching),
        *_requirements(before, after, matching),
        *_classes(before, after, matching),
    )


def _changed(subject: str, differences: Iterable[_Difference]) -> Iterator[Change]:
    for what, old, new in differences:
        yield Change(kind="changed", subject=subject, what=what, before=old, after=new)


def _whole(kind: str, subject: str, said: str) -> Change:
    if kind == "added":
        return Change(kind="added", subject=subject, what="", before=None, after=said)
    return Change(kind="removed", subject=subject, what="", before=said, after=None)


def _renamed(subject: str, old: str, new: str) -> Change:
    return Change(kind="renamed", subject=subject, what="name", before=old, after=new)


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
    """Points of (size mm, share); hours are told as they stand."""
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
    apart = {"sieves_mm", "revisions", "aims", "shifts", "open", "units"}
    fields = _fields(before, after, structure | apart, after.units)
    yield from _changed("plant", fields)
    yield from _changed("plant", _said_otherwise(_words(before), _words(after)))
    aims, aimed = ({aim.text for aim in plant.aims} for plant in (before, after))
    if aims != aimed:
        gone_aims, come_aims = (", ".join(sorted(s)) or "-" for s in (aims - aimed, aimed - aims))
        yield from _changed("plant", [("aims", gone_aims, come_aims)])
    if not _same(before.sieves_mm, after.sieves_mm):
        gone = [s for s in before.sieves_mm if not any(close(s, t) for t in after.sieves_mm)]
        come = [s for s in after.sieves_mm if not any(close(s, t) for t in before.sieves_mm)]
        said, says = (_sizes(sizes, after.units) for sizes in (gone, come))
        yield from _changed("plant", [("sieves", said, says)])


def _words(plant: Plant) -> dict[str, str]:
    """What a plant says of itself in words, and what it leaves open or uncertain."""
    shifts = (" ".join(map(_said, shift.model_dump().values())) for shift in plant.shifts)
    found = {f"history of {one.mark}": one.text for one in plant.revisions}
    found["shifts"] = ", ".join(shifts) or "-"
    for one in plant.open:
        found[f"open {one.name}"] = one.text
        found |= {f"option {option} of {one.name}": said for option, said in one.options.items()}
    return found


def _said_otherwise(old: Mapping[str, str], new: Mapping[str, str]) -> Iterator[_Difference]:
    for name in {**new, **old}:
        said = old.get(name) or "-", new.get(name) or "-"
        if said[0] != said[1]:
            yield name, *said


def _sizes(sizes: Sequence[float], units: Units) -> str:
    return ", ".join(said_in(size, "mm", units) for size in sizes) or "-"


def _materials(before: Plant, after: Plant, matching: Matching) -> Iterator[Change]:
    found = matching.materials
    for name, material in after.materials.items():
        old = next((o for o, n in found.items() if n == name), None)
        subject = f"material {name}"
        if old is None:
            index = said_in(material.work_index_kwh_t, "kWh/t", after.units)
            yield _whole("added", subject, f"work index {index}")
            continue
        if old != name:
            yield _renamed(subject, old, name)
        yield from _changed(subject, _fields(before.materials[old], material, set(), after.units))
    for name in before.materials:
        if name not in found:
            yield _whole("removed", f"material {name}", name)


def _feeds(before: Plant, after: Plant, matching: Matching) -> Iterator[Change]:
    was = {matching.nodes.get(feed.tag): feed for feed in before.feeds}
    for feed in after.feeds:
        old, subject = was.get(feed.tag), f"feed {feed.tag}"
        if old is None:
            rate = said_in(feed.rate_t_h, "t/h", after.units)
            yield _whole("added", subject, f"{rate} of {feed.material}")
            continue
        if old.tag != feed.tag:
            yield _renamed(subject, old.tag, feed.tag)
        same_rock = matching.materials.get(old.material) == feed.material
        unseen = {"material"} if same_rock else set()
        yield from _changed(subject, _fields(old, feed, unseen, after.units))
    for feed in before.feeds:
        if feed.tag not in matching.nodes:
            rate = said_in(feed.rate_t_h, "t/h", after.units)
            yield _whole("removed", f"feed {feed.tag}", rate)


def _products(before: Plant, after: Plant, matching: Matching) -> Iterator[Change]:
    was = {matching.nodes.get(product.tag): product for product in before.products}
    for product in after.products:
        old, subject = was.get(product.tag), f"product {product.tag}"
        if old is None:
            yield _whole("added", subject, product.title)
            continue
        if old.tag != product.tag:
            yield _renamed(subject, old.tag, product.tag)
        if (old.title, product.title) != (old.tag, product.tag):  # a title of its own
            yield from _changed(subject, _fields(old, product, set(), after.units))
    for product in before.products:
        if product.tag not in matching.nodes:
            yield _whole("removed", f"product {product.tag}", product.title)


# -- machines -----------------------------------------------------------------------------------


def _machines(before: Plant, after: Plant, matching: Matching) -> Iterator[Change]:
    was = {matching.nodes.get(machine.tag): machine for machine in before.machines}
    classes, now = _records(before), _records(after)
    for machine in after.machines:
        old, subject = was.get(machine.tag), f"{machine.kind} {machine.tag}"
        if old is None:
            yield _whole("added", subject, machine_words(machine, after.units))
            continue
        if old.tag != machine.tag:
            yield _renamed(subject, old.tag, machine.tag)
        was_class, is_class = classes.get(old.class_path), now.get(machine.class_path)
        named = ({"class": one.name} if one else {} for one in (was_class, is_class))
        stated = [*_said_otherwise(*named), *_stated(old, machine, after.units)]
        yield from _changed(subject, stated)
        if not stated and was_class and is_class and was_class.lines == is_class.lines:
            # The same words give other numbers: another compiler read them.
            yield from _changed(subject, _derived(old, machine, after.units))
    for machine in before.machines:
        if machine.tag not in matching.nodes:
            said = machine_words(machine, after.units)
            yield _whole("removed", f"{machine.kind} {machine.tag}", said)


def machine_words(machine: Machine, units: Units) -> str:
    """`cones.high_pivot, css 15 mm, duty tertiary`: what a machine states, in one line."""
    stated = [f"{setting.name} {setting.text}" for setting in machine.settings]
    stated += [f"{deck.name} {_deck_words(deck, units)}" for deck in machine.decks]
    return ", ".join([machine.class_name or machine.kind, *stated])


def _records(plant: Plant) -> dict[str, ClassRecord]:
    return {record.path: record for record in plant.classes}


def _stated(old: Machine, new: Machine, units: Units) -> Iterator[_Difference]:
    """What a machine's own lines say otherwise."""
    settings = {s.name: s for s in old.settings}
    for setting in new.settings:
        was = settings.pop(setting.name, None)
        both = was is not None and was.value is not None and setting.value is not None
        if was is not None and both and was.unit == setting.unit:
            assert was.value is not None and setting.value is not None
            if not close(was.value, setting.value):
                yield setting.name, *numbers(was.value, setting.value, setting.unit, {})
        elif was is None or was.text != setting.text:
            yield setting.name, "-" if was is None else was.text, setting.text
    for gone in settings.values():
        yield gone.name, gone.text, "-"
    yield from _decks(old, new, units)
    yield from _numbers("share ", old.shares, new.shares, units, "%")
    if not new.class_path:  # a bin or stockpile states its facts itself
        yield from _numbers("", old.facts, new.facts, units)
    was_run, is_run = (m.operation or MachineOperation() for m in (old, new))
    yield from _fields(was_run, is_run, set(), units)
    for role in sorted(old.models.keys() & new.models.keys()):
        if old.models[role].model != new.models[role].model:
            yield f"{role} model", old.models[role].model, new.models[role].model


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
        was[ends[0], s.outlet, ends[1] or f"gone {s.target}"] = s
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
        if old is None and new is not None:
            yield _whole("added", "requirement", new.text)
        elif new is None and old is not None:
            yield _whole("removed", "requirement", old.text)
        elif old is not None and new is not None and not same_limits(old, new):
            yield from _changed("requirement", _limits(old, new, after.units))


def _limits(old: Requirement, new: Requirement, units: Units) -> Iterator[_Difference]:
    if isinstance(old, Meets) and isinstance(new, Meets):
        points = [[(p.size_mm, p.low, p.high) for p in r.band.points] for r in (old, new)]
        first, second = (
            [p for p in own if p not in other] for own, other in (points, points[::-1])
        )
        said, says = (_band_points(points, units) for points in (first, second))
        yield f"limits of {new.band.name}", said, says
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
    """What the class of a machine says otherwise, by the class's own name: where it stands makes
    no difference. Another class in its place is told at the machine; one that has a new name, and
    is nowhere as it was, is the same one."""
    was, now = _records(before), _records(after)
    new_machines = {machine.tag: machine for machine in after.machines}
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
