"""One machine from its declaration: its class applied, its decks or shares read."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal, cast

from hoggin.check.class_reading import AppliedClass
from hoggin.check.classes import apply_class
from hoggin.check.loader import misplaced
from hoggin.check.operation import belongs_in_operation, machine_operation
from hoggin.check.scope import (
    ClassEntity,
    ClassParameterEntity,
    Scope,
    Session,
    mention,
    once,
    resolve,
)
from hoggin.check.shares import Division, of_splitter, of_store
from hoggin.check.stated import number, stated
from hoggin.diagnostics.families.classes import E0401, E0403, E0405
from hoggin.diagnostics.families.gradings import E0604, E0605
from hoggin.diagnostics.families.models import E0406
from hoggin.diagnostics.families.names import E0202
from hoggin.diagnostics.families.templates import E0704
from hoggin.diagnostics.families.values import E0304
from hoggin.diagnostics.source import Span
from hoggin.schema.facts import APERTURE, facts_of, listed_of, usual
from hoggin.schema.kinds import DECK_ORDER, DRAW, KINDS
from hoggin.schema.plant import Deck, Machine, Place
from hoggin.syntax import tree

SHAPES = ("square", "round", "slotted")


@dataclass
class _Block:
    """A machine's block, sorted by kind of line."""

    facts: dict[str, tree.Fact] = field(default_factory=dict)
    decks: list[tree.Deck] = field(default_factory=list)
    ports: list[tree.Port] = field(default_factory=list)
    models: dict[str, tree.Ident] = field(default_factory=dict)  # that it takes, by role


def place(span: Span) -> Place:
    return Place(file=span.source.name, line=span.line, column=span.column)


def machine(node: tree.Declaration, tag: str, scope: Scope, session: Session) -> Machine:
    """The checked machine. Where something was wrong it is reported and the rest is kept, so that
    the machine's name and ports stay known."""
    kind = node.kind.text
    block = _sort(node, session)
    applied = AppliedClass()
    entity: ClassEntity | None = None
    position = block.facts.pop("position", None) if kind == "splitter" else None
    operation, own = machine_operation(node, scope, session)
    count = usual("machine", "count")
    if KINDS[kind].has_class:
        count = _count(block.facts.pop("count", None), scope, session)
        entity = _class(node, kind, scope, session)
        if entity is not None:
            settings = {
                name: (fact.name, fact.value)
                for name, fact in block.facts.items()
                if fact.value is not None and not _not_a_setting(fact, entity, session)
            }
            applied = apply_class(entity, node, settings, block.models, own, scope, session)
            session.classes[tag], session.declared[tag] = entity, (node, scope)
        else:
            for given in (*node.arguments, *block.facts.values()):
                mention(given, scope, session)
    else:
        applied.facts = _numbers(kind, block.facts.values(), scope, session) | own
        if node.of is not None:
            session.report(E0401.has_no_class(kind, node.of.dotted), node.of.span)
    decked = KINDS[kind].decked and (bool(block.decks) or entity is not None or node.of is None)
    decks = _decks(node, block.decks, applied, scope, session) if decked else ()
    division = Division()
    if kind == "splitter":
        division = of_splitter(node, block.ports, position, scope, session)
    elif KINDS[kind].stores and DRAW in block.facts:
        division = of_store(applied.facts.pop("draw_t_h", 0.0))
    if operation is not None and operation.campaign_h is not None:
        _check_turns(node, division, session)
    _keep_traces(tag, applied, division, session)
    session.traces.keep(("machines", tag, "count"), count)
    session.traces.name(count, f"{tag}.count")
    return Machine(
        tag=tag,
        kind=kind,
        about=applied.about,
        settings=(*applied.settings, *([division.position] if division.position else ())),
        facts=dict(sorted(applied.facts.items())),
        spreads=dict(sorted(applied.spreads.items())),
        traits=dict(sorted(applied.traits.items())),
        models=dict(sorted(applied.models.items())),
        decks=decks,
        shares=division.shares,
        asked_t_h=division.asked_t_h,
        cautions=tuple(sorted(applied.cautions)),
        sources=tuple(sorted(applied.sources)),
        outlets=_outlets(kind, decks, division),
        place=place(node.name.span),
        operation=operation,
        count=count,
    )


def _count(line: tree.Fact | None, scope: Scope, session: Session) -> float:
    """How many equal machines there are in parallel; one where it is not stated."""
    fact = facts_of("machine")["count"]
    found = None if line is None else stated(fact, line, scope, session)
    return usual("machine", "count") if found is None else found.in_trade_unit()


def _keep_traces(tag: str, applied: AppliedClass, division: Division, session: Session) -> None:
    """Note the formulas of a machine's numbers, where any depend on free ones."""
    traces = session.traces
    traces.keep(("machines", tag, "facts"), applied.facts)
    traces.keep(("machines", tag, "shares"), division.shares)
    traces.keep(("machines", tag, "asked_t_h"), division.asked_t_h)
    for outlet, taken in (*division.shares.items(), *division.asked_t_h.items()):
        traces.name(taken, f"{tag}.{outlet}")
    for path, numbers in applied.numbers.items():
        if path[0] != "models":
            traces.keep(("machines", tag, *path), numbers)
            traces.name(numbers, ".".join(map(str, (tag, *path[1:]))))
            continue
        _, role, name = path
        use = applied.models.get(str(role))
        if use is not None and use.model == name:
            traces.keep(("machines", tag, "models", role, "coefficients"), numbers)


def _outlets(kind: str, decks: tuple[Deck, ...], division: Division) -> tuple[str, ...]:
    if KINDS[kind].decked:
        return (*(f"{deck.name}.over" for deck in decks), "under")
    return division.outlets or KINDS[kind].outlets


def _check_turns(node: tree.Declaration, division: Division, session: Session) -> None:
    """Report a campaign of a splitter that has no shares to take turns by."""
    if division.position is not None or division.asked_t_h:
        session.report(E0704.no_shares(node.name.text), node.name.span)


def _sort(node: tree.Declaration, session: Session) -> _Block:
    kind = node.kind.text
    block = _Block()
    first: dict[str, Span] = {}
    for statement in node.body:
        match statement:
            case tree.Fact(name=name) if name.text in listed_of(kind):
                pass  # for documents: the caller reads it
            case tree.Fact(name=name, value=value):
                if value is None:
                    session.report(E0403.no_value(name.text), statement.span)
                if once(first, name, session):
                    block.facts[name.text] = statement
            case tree.Deck() if KINDS[kind].decked:
                block.decks.append(statement)
            case tree.Port(direction="out") if kind == "splitter":
                block.ports.append(statement)
            case tree.ModelDefinition() if KINDS[kind].has_class:
                _pick(statement, kind, block, session)
            case _ if not isinstance(statement, tree.Operation | tree.Note):
                misplaced(statement, f"in a {kind}", session)
    return block


def _class(node: tree.Declaration, kind: str, scope: Scope, session: Session) -> ClassEntity | None:
    if node.of is None:
        return session.report(E0401.class_missing(kind, node.name.text), node.name.span)
    entity = resolve(node.of, scope, session)
    match entity:
        case None:
            return None
        case ClassEntity(node=tree.ClassDefinition(kind=tree.Ident(text=own))):
            found: ClassEntity | None = entity
        case ClassParameterEntity(kind=own, stands_for=found):
            pass
        case _:
            return session.report(E0401.not_a_class(node.of.dotted), node.of.span)
    if own != kind:
        return session.report(
            E0401.class_of_other_kind(node.of.dotted, own, kind, node.name.text), node.of.span
        )
    return found


def _pick(node: tree.ModelDefinition, kind: str, block: _Block, session: Session) -> None:
    """Note which of its class's models a machine takes for a role."""
    role = node.role.text
    if role not in KINDS[kind].models:
        session.report(E0406.role(kind, role, KINDS[kind].models), node.role.span)
    elif node.body:
        session.report(E0406.coefficients_of_machine(), node.body[0].span)
    elif role in block.models:
        session.report(E0202.set_twice(role), node.role.span, block.models[role].span)
    else:
        block.models[role] = node.name


def _not_a_setting(fact: tree.Fact, entity: ClassEntity, session: Session) -> bool:
    """Whether a line says how a machine is run or which model it takes, as if it were a setting of
    its class; it is reported."""
    name, kind = fact.name.text, entity.node.kind.text
    settings = (s for s in entity.node.body if isinstance(s, tree.SettingDefinition))
    if name in (setting.parameter.name.text for setting in settings):
        return False
    if name in KINDS[kind].models and isinstance(fact.value, tree.Path):
        session.report(E0406.pick(name, fact.value.dotted), fact.span)
        return True
    return belongs_in_operation(fact, kind, session)


def _numbers(
    kind: str, lines: Iterable[tree.Fact], scope: Scope, session: Session
) -> dict[str, float]:
    """What lines of a kind of block state, in trade units, by the field that holds it."""
    known = facts_of(kind)
    found: dict[str, float] = {}
    for line in lines:
        fact = known.get(line.name.text)
        if fact is None:
            if not belongs_in_operation(line, kind, session):
                session.report(E0403.unknown(f"a {kind}", line.name.text, known), line.name.span)
        elif line.value is not None:
            value = number(fact, line.value, scope, session)
            if value is not None:
                found[fact.field] = value.in_trade_unit()
    return found


def _decks(
    node: tree.Declaration,
    written: list[tree.Deck],
    applied: AppliedClass,
    scope: Scope,
    session: Session,
) -> tuple[Deck, ...]:
    """Decks top to bottom by their names; each finer than the one above."""
    report = session.report
    if not written:
        report(E0605.none(node.name.text), node.name.span)
        return ()
    by_rank: dict[int, tree.Deck] = {}
    for deck in written:
        rank = DECK_ORDER.get(deck.name.text)
        if rank is None:
            report(E0605.unknown(deck.name.text, DECK_ORDER), deck.name.span)
        elif rank in by_rank:
            report(E0202.deck(deck.name.text), deck.name.span, by_rank[rank].span)
        else:
            by_rank[rank] = deck
    ordered = [by_rank[rank] for rank in sorted(by_rank)]
    most = applied.facts.get("max_decks")
    if most is not None and len(ordered) > most:
        report(E0605.too_many(most), ordered[-1].span)
    decks = [_deck(deck, applied, scope, session) for deck in ordered]
    for upper, lower, deck in zip(decks, decks[1:], ordered[1:], strict=False):
        if lower.aperture_mm >= upper.aperture_mm > 0:
            above = by_rank[DECK_ORDER[upper.name]]
            report(
                E0604.coarser_below(lower.name, lower.aperture_mm, upper.name, upper.aperture_mm),
                deck.span,
                above.span,
            )
    return tuple(decks)


def _deck(node: tree.Deck, applied: AppliedClass, scope: Scope, session: Session) -> Deck:
    aperture = number(APERTURE, node.aperture, scope, session)
    size = 0.0 if aperture is None else aperture.in_trade_unit()
    shape = node.shape.text if node.shape else "square"
    if shape not in SHAPES:
        session.report(E0304.opening(shape, SHAPES), node.shape.span if node.shape else node.span)
        shape = "square"
    lines: list[tree.Fact] = []
    for statement in node.body:
        if isinstance(statement, tree.Fact) and statement.value is not None:
            lines.append(statement)
        else:
            misplaced(statement, "in a deck", session)
    facts = _numbers("deck", lines, scope, session)
    spray = facts.get("spray_m3_h", 0.0)
    if spray > 0 and applied.facts.get("wet", 1.0) == 0:
        session.report(E0405.spray_on_dry_screen(node.name.text), node.span)
    applied.numbers["decks", node.name.text, "aperture_mm"] = size
    applied.numbers["decks", node.name.text, "spray_m3_h"] = spray
    if "slot_ratio" in facts and shape != "slotted":
        session.report(E0405.slot_ratio(node.name.text, shape), node.span)
    return Deck(
        name=node.name.text,
        aperture_mm=size,
        shape=cast(Literal["square", "round", "slotted"], shape),
        open_area=facts.get("open_area", applied.facts.get("open_area")),
        spray_m3_h=spray,
        slot_ratio=facts.get("slot_ratio"),
        place=place(node.span),
    )
