"""Materials: the rock's properties that the models need."""

from __future__ import annotations

from hoggin.check.loader import misplaced
from hoggin.check.scope import MaterialEntity, Session, once
from hoggin.check.stated import stated
from hoggin.diagnostics.families.classes import E0402, E0403
from hoggin.diagnostics.families.values import E0306
from hoggin.diagnostics.source import Span
from hoggin.schema.facts import facts_of
from hoggin.schema.plant import Material
from hoggin.syntax import tree

_FACTS = facts_of("material")
# The rock's own coefficients of breakage, both of one drop-weight test: neither goes with the other
# of another rock.
_BREAKAGE = ("t10_limit", "energy_scale")


def material(entity: MaterialEntity, name: str, session: Session) -> Material | None:
    """The checked material; None after a reported fault."""
    report = session.report
    facts = _facts(entity, session)
    found = {
        fact: stated(_FACTS[fact], line, entity.scope, session) for fact, line in facts.items()
    }
    values = {fact: one.in_trade_unit() for fact, one in found.items() if one is not None}
    whole = len(values) == len(facts)
    paired = _BREAKAGE if any(fact in facts for fact in _BREAKAGE) else ()
    for fact in (*(one.name for one in _FACTS.values() if one.needed), *paired):
        if fact not in facts and fact not in session.lost_names:
            report(
                E0402.fact_of_material(entity.node.name.text, fact, _FACTS[fact].sample),
                entity.node.name.span,
            )
        whole = whole and fact in facts
    if whole and values["bulk_density"] >= values["solid_density"]:
        report(E0306.bulk_density(), facts["bulk_density"].span)
        whole = False
    if not whole:
        return None
    for fact, number in values.items():
        inner = ("breakage", fact) if fact in _BREAKAGE else (_FACTS[fact].field,)
        path = ("materials", name, *inner)
        session.traces.keep(path, number)
        session.traces.name(number, f"{name}.{fact}")
    return Material(
        name=name,
        solid_density_t_m3=values["solid_density"],
        bulk_density_t_m3=values["bulk_density"],
        work_index_kwh_t=values["work_index"],
        abrasion_index=values.get("abrasion_index"),
        moisture=values.get("moisture", 0.0),
        breakage={name: values[name] for name in _BREAKAGE if name in values},
    )


def _facts(entity: MaterialEntity, session: Session) -> dict[str, tree.Fact]:
    facts: dict[str, tree.Fact] = {}
    first: dict[str, Span] = {}
    for statement in entity.node.body or ():
        if not isinstance(statement, tree.Fact):
            misplaced(statement, "in a material", session)
            continue
        name = statement.name.text
        if name not in _FACTS or statement.value is None:
            session.report(E0403.unknown("a material", name, _FACTS), statement.name.span)
        elif once(first, statement.name, session):
            facts[name] = statement
    return facts
