"""How a plant is run: shifts, hours of loading, availability, planned stops, campaigns."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import product
from math import fsum

from hoggin.check.evaluate import quantity
from hoggin.check.loader import misplaced
from hoggin.check.network import Network, Node
from hoggin.check.plant_facts import plant_fact, plant_number
from hoggin.check.scope import Scope, Session, once
from hoggin.check.stated import stated as stated_number
from hoggin.diagnostics.families.classes import E0402, E0403
from hoggin.diagnostics.families.rating import W0526
from hoggin.diagnostics.families.templates import E0704
from hoggin.diagnostics.families.values import E0306
from hoggin.diagnostics.source import Span
from hoggin.schema.facts import facts_of, operation_of
from hoggin.schema.kinds import KINDS
from hoggin.schema.plant import MachineOperation, Plant, Shift
from hoggin.schema.units import TIME
from hoggin.syntax import tree

DAY_H = 24.0
_OF_MACHINES = {**facts_of("operation"), **facts_of("splitter.operation")}
_WORD = "operation"


def operation_lines(
    body: Iterable[tree.Statement], kind: str, session: Session
) -> dict[str, tree.Fact]:
    """The lines of the `operation` block in the block of a kind of thing, by name; none where it
    has none. What may not stand there is reported."""
    known = operation_of(kind)
    found: dict[str, tree.Fact] = {}
    blocks: dict[str, Span] = {}
    first: dict[str, Span] = {}
    for block in body:
        if not isinstance(block, tree.Operation):
            continue
        start = block.span.start
        word = tree.Ident(Span(block.span.source, start, start + len(_WORD)), _WORD)
        if not once(blocks, word, session):
            continue
        for line in block.body:
            if not isinstance(line, tree.Fact):
                misplaced(line, "in an `operation`", session)
            elif line.name.text not in known:
                owner = f"the operation of a {kind}" if kind != "plant" else "a plant's operation"
                session.report(E0403.unknown(owner, line.name.text, known), line.name.span)
            elif once(first, line.name, session):
                found[line.name.text] = line
    return found


def belongs_in_operation(line: tree.Fact, kind: str, session: Session) -> bool:
    """Whether a line of a block is one of its `operation`; it is reported where it stands."""
    name = line.name.text
    if name in operation_of(kind):
        session.report(E0403.of_operation(name), line.name.span)
    return name in operation_of(kind)


def machine_operation(
    node: tree.Declaration, scope: Scope, session: Session
) -> tuple[MachineOperation | None, dict[str, float]]:
    """How a machine is run over time, None where it states nothing; and the numbers of its own that
    its operation states besides, by their field."""
    kind = node.kind.text
    stated = operation_lines(node.body, kind, session)
    known = operation_of(kind)
    numbers: dict[str, float] = {}
    for name, fact in stated.items():
        if known[name].dimension is not None:
            found = stated_number(known[name], fact, scope, session)
            if found is not None:
                numbers[name] = found.in_trade_unit()
    others = {known[n].field: value for n, value in numbers.items() if n not in _OF_MACHINES}
    if not stated.keys() & _OF_MACHINES.keys():
        return None, others
    _ask_for_partners(stated, numbers.get("availability") == 1, session)
    run = {name: float(value) for name, value in numbers.items()}
    stops = stated.get("maintenance")
    operation = MachineOperation(
        availability=run.get("availability", 1.0),
        repair_h=run.get("repair"),
        pace=run.get("pace"),
        stops_h=_stops(stops, scope, session) if stops is not None else (),
        campaign_h=run.get("campaign"),
        changeover_h=run.get("changeover", 0.0),
    )
    return operation, others


def _ask_for_partners(stated: Mapping[str, tree.Fact], always: bool, session: Session) -> None:
    """An availability needs the length of a repair, and a changeover its campaign. always: whether
    the machine can always run."""
    asked = {
        "availability": ("repair", E0402.repair),
        "repair": ("availability", E0402.availability),
        "changeover": ("campaign", E0402.campaign),
    }
    for name, (partner, missing) in asked.items():
        fact = stated.get(name)
        if fact is None or partner in stated or (name == "availability" and always):
            continue
        session.report(missing(), fact.span)


def _stops(fact: tree.Fact, scope: Scope, session: Session) -> tuple[tuple[float, float], ...]:
    """Planned stops as (every h, lasting h) of shift time, the most frequent first."""
    found: list[tuple[float, float]] = []
    for entry in fact.entries or ():
        if entry.value is None or entry.upper is not None:
            continue
        every = quantity(entry.key, TIME, "the hours between two stops", scope, session)
        lasts = quantity(entry.value, TIME, "the hours of a stop", scope, session)
        if every is None or lasts is None or not (every.known and lasts.known):
            return ()
        if not 0 < lasts.si < every.si:
            session.report(E0306.stop(lasts.shown(), every.shown()), entry.span)
            return ()
        found.append((float(every.in_trade_unit()), float(lasts.in_trade_unit())))
    if len(found) != len(fact.entries or ()) or not found:
        session.report(E0403.maintenance(), fact.span)
    return tuple(sorted(found))


def hours_of_day(
    fact: tree.Fact, scope: Scope, session: Session
) -> tuple[tuple[str, float, float], ...]:
    """Named stretches of the day as (name, start h, end h), in their order; one that runs past
    midnight ends after 24 h. Empty after a reported fault."""
    word = fact.name.text
    found: list[tuple[str, float, float, Span]] = []
    for entry in fact.entries or ():
        if not isinstance(entry.key, tree.Path) or entry.value is None or entry.upper is None:
            found.clear()
            break
        start = quantity(entry.value, TIME, "the hour of the day", scope, session)
        end = quantity(entry.upper, TIME, "the hour of the day", scope, session)
        if start is None or end is None or not (start.known and end.known):
            return ()
        first, last = float(start.in_trade_unit()), float(end.in_trade_unit())
        if not (0 <= first <= DAY_H and 0 <= last <= DAY_H) or first == last:
            session.report(E0306.hours(start.shown(), end.shown()), entry.span)
            return ()
        found.append((entry.key.dotted, first, last if last > first else last + DAY_H, entry.span))
    if not found:
        session.report(E0403.hours_of_day(word), fact.span)
        return ()
    found.sort(key=lambda one: one[1])
    return () if _overlap(found, session) else tuple(one[:3] for one in found)


def loading_hours(
    body: tuple[tree.Statement, ...], scope: Scope, session: Session
) -> tuple[tuple[float, float], ...]:
    """A feed's hours of loading, () for all."""
    stated = operation_lines(body, "feed", session).get("loading")
    found = () if stated is None else hours_of_day(stated, scope, session)
    return tuple((start, end) for _, start, end in found)


def _overlap(found: list[tuple[str, float, float, Span]], session: Session) -> bool:
    following = [*found[1:], (found[0][0], found[0][1] + DAY_H, 0.0, found[0][3])]
    for one, after in zip(found, following, strict=True):
        if one[2] > after[1] + 1e-9:
            session.report(E0306.hours_overlap(), after[3], one[3])
            return True
    return False


def shifts(node: tree.PlantDefinition, scope: Scope, session: Session) -> tuple[Shift, ...]:
    """The hours of the day the plant is run; none where it does not say."""
    fact = plant_fact(node, "shifts")
    if fact is None:
        return ()
    found = hours_of_day(fact, scope, session)
    return tuple(Shift(name=name, start_h=start, end_h=end) for name, start, end in found)


def days_per_week(node: tree.PlantDefinition, scope: Scope, session: Session) -> int | None:
    """Days of a week the plant is run, from its first; None where it does not say."""
    found = plant_number(node, "days_per_week", scope, session)
    return None if found is None else int(found)


def check_operation(node: tree.PlantDefinition, plant: Plant, session: Session) -> None:
    """Report feeds that are delivered only while the plant is stopped (W0526)."""
    fact = plant_fact(node, "shifts")
    if fact is None or not plant.shifts:
        return
    run = [(shift.start_h, shift.end_h) for shift in plant.shifts]
    for feed in plant.feeds:
        if feed.loading_h and not shared_hours(feed.loading_h, run):
            session.report(W0526.never_loaded(feed.tag), fact.span)


def shared_hours(one: tuple[tuple[float, float], ...], other: list[tuple[float, float]]) -> float:
    """Hours of a day in both lists of stretches, either of which may run past midnight."""
    return fsum(
        max(0.0, min(end, last + shift) - max(start, first + shift))
        for (start, end), (first, last), shift in product(one, other, (-DAY_H, 0.0, DAY_H))
    )


def check_campaigns(network: Network, session: Session) -> None:
    """Report splitters whose campaigns would change what machines are fed (E0704): the balance
    holds for their shares as they are on average."""
    onward: dict[str, list[Node]] = {}
    for link in network.links:
        onward.setdefault(link.source.tag, []).append(link.target)
    for node in network.nodes.values():
        machine = node.machine
        if machine is None or machine.operation is None or machine.operation.campaign_h is None:
            continue
        met = _first_machine(node, onward)
        if met is not None:
            session.report(E0704.changes_feed(node.tag, met.word, met.tag), node.span, met.span)


def _first_machine(node: Node, onward: Mapping[str, list[Node]]) -> Node | None:
    """The first machine after a splitter that takes rock differently when its feed changes."""
    reached = dict.fromkeys(onward.get(node.tag, ()))
    todo = list(reached)
    while todo:
        one = todo.pop(0)
        kind = KINDS[one.word] if one.kind == "machine" else None
        if one.kind == "product" or (kind and kind.stores):
            continue
        if kind and not kind.passes:
            return one
        new = [behind for behind in onward.get(one.tag, ()) if behind not in reached]
        reached.update(dict.fromkeys(new))
        todo += new
    return None
