"""Materials: the rock's properties that the models need."""

from __future__ import annotations

from collections.abc import Mapping

from hoggin.check.evaluate import text_of
from hoggin.check.loader import misplaced
from hoggin.check.scope import MaterialEntity, Scope, Session, once
from hoggin.check.stated import stated
from hoggin.check.values import Quantity
from hoggin.diagnostics.families.classes import E0402, E0403
from hoggin.diagnostics.families.values import E0306
from hoggin.diagnostics.source import Span
from hoggin.schema.facts import facts_of
from hoggin.schema.plant import Material
from hoggin.schema.tracing import extremes
from hoggin.syntax import tree
from hoggin.world import is_library

_FACTS = facts_of("material")
# The rock's own coefficients of breakage, both of one drop-weight test: neither goes with the other
# of another rock.
_BREAKAGE = ("t10_limit", "energy_scale")


def material(entity: MaterialEntity, name: str, session: Session) -> Material | None:
    """The checked material; None after a reported fault."""
    report = session.report
    facts, texts = _lines(entity, session)
    scope = Scope(entity.scope, homes=entity.homes)
    found = {
        fact: stated(_FACTS[fact], line, scope.at(line), session) for fact, line in facts.items()
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
        clay=values.get("clay", 0.0),
        absorption=values.get("absorption"),
        compressive_strength_mpa=values.get("compressive_strength"),
        breakage={name: values[name] for name in _BREAKAGE if name in values},
        about=texts.get("about", ""),
        sources=_sources(facts, texts.get("source", "")),
        ranges={fact: ends for fact, one in found.items() if (ends := _range(one))},
        typical=tuple(fact for fact, line in sorted(facts.items()) if _is_standard(line)),
    )


def _sources(facts: Mapping[str, tree.Fact], of_all: str) -> dict[str, str]:
    """Where each figure is from; the material's own `source` speaks of those that name none."""
    said = {
        name: of_all if line.source is None else line.source.text for name, line in facts.items()
    }
    return {name: text for name, text in sorted(said.items()) if text}


def _range(found: Quantity | None) -> tuple[float, float] | tuple[()]:
    """The ends that an uncertain figure is stated to lie between; nothing of a plain one."""
    ends = () if found is None else extremes(found.si)
    if found is None or len(ends) < 2:
        return ()
    low, high = (Quantity(end, found.dimension).in_trade_unit() for end in (ends[0], ends[-1]))
    return low, high


def _is_standard(line: tree.Fact) -> bool:
    """Whether a line is the standard library's."""
    return line.span.source.name.startswith("std.") and is_library(line.span.source.name)


def _lines(entity: MaterialEntity, session: Session) -> tuple[dict[str, tree.Fact], dict[str, str]]:
    """The lines of a material's figures, and its texts, by name."""
    facts: dict[str, tree.Fact] = {}
    texts: dict[str, str] = {}
    first: dict[str, Span] = {}
    for statement in entity.node.body or ():
        if not isinstance(statement, tree.Fact):
            misplaced(statement, "in a material", session)
            continue
        name, value = statement.name.text, statement.value
        if name not in _FACTS or value is None:
            session.report(E0403.unknown("a material", name, _FACTS), statement.name.span)
        elif once(first, statement.name, session):
            if _FACTS[name].dimension is not None:
                facts[name] = statement
            else:
                texts[name] = text_of(value, name, entity.scope, session) or ""
    return facts, texts
