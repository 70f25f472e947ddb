"""Materials: the rock's properties that the models need."""

from __future__ import annotations

from hoggin.check.evaluate import quantity, report_bounds
from hoggin.check.loader import misplaced
from hoggin.check.scope import MaterialEntity, Session, once
from hoggin.diagnostics.families.classes import E0402, E0403
from hoggin.diagnostics.families.values import E0306
from hoggin.diagnostics.source import Span
from hoggin.schema.plant import Material
from hoggin.schema.units import DENSITY, NUMBER, SPECIFIC_ENERGY, Dimension
from hoggin.syntax import tree

_FACTS: dict[str, Dimension] = {
    "solid_density": DENSITY,
    "bulk_density": DENSITY,
    "work_index": SPECIFIC_ENERGY,
    "abrasion_index": NUMBER,
    "moisture": NUMBER,
    "t10_limit": NUMBER,
    "energy_scale": SPECIFIC_ENERGY,
}
# The rock's own coefficients of breakage, both of one drop-weight test: neither goes with the other
# of another rock.
_BREAKAGE = ("t10_limit", "energy_scale")
_FIELDS = {
    "solid_density": "solid_density_t_m3",
    "bulk_density": "bulk_density_t_m3",
    "work_index": "work_index_kwh_t",
    "abrasion_index": "abrasion_index",
    "moisture": "moisture",
}
_NEEDED = ("solid_density", "bulk_density", "work_index")
# Bounds that no rock leaves, to catch a slipped digit or unit; common practice, no source.
_BOUNDS = {
    "solid_density": (1.0, 6.0),
    "bulk_density": (0.5, 4.0),
    "work_index": (2.0, 60.0),
    "abrasion_index": (0.0, 2.0),
    "moisture": (0.0, 0.5),
    "t10_limit": (0.05, 0.95),  # these two as the catalog has them
    "energy_scale": (0.1, 20.0),
}
_SAMPLES = {
    "solid_density": "2.70 t/m3",
    "bulk_density": "1.60 t/m3",
    "work_index": "15 kWh/t",
    "t10_limit": "48 %",
    "energy_scale": "1.1 kWh/t",
}


def material(entity: MaterialEntity, name: str, session: Session) -> Material | None:
    """The checked material; None after a reported fault."""
    report = session.diagnostics.report
    facts = _facts(entity, session)
    found = {fact: _number(fact, statement, entity, session) for fact, statement in facts.items()}
    values = {fact: number for fact, number in found.items() if number is not None}
    whole = len(values) == len(facts)
    paired = _BREAKAGE if any(fact in facts for fact in _BREAKAGE) else ()
    for fact in (*_NEEDED, *paired):
        if fact not in facts and fact not in session.lost_names:
            report(
                E0402.fact_of_material(entity.node.name.text, fact, _SAMPLES[fact]),
                entity.node.name.span,
            )
        whole = whole and fact in facts
    if whole and values["bulk_density"] >= values["solid_density"]:
        report(E0306.bulk_density(), facts["bulk_density"].span)
        whole = False
    if not whole:
        return None
    for fact, number in values.items():
        field = _FIELDS.get(fact)
        path = ("materials", name, *((field,) if field else ("breakage", fact)))
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
            session.diagnostics.report(
                E0403.unknown("a material", name, _FACTS), statement.name.span
            )
        elif once(first, statement.name, session):
            facts[name] = statement
    return facts


def _number(
    fact: str, statement: tree.Fact, entity: MaterialEntity, session: Session
) -> float | None:
    if statement.value is None:
        return None
    found = quantity(statement.value, _FACTS[fact], f"`{fact}`", entity.scope, session)
    if found is None or not found.known:
        return None
    number = found.in_trade_unit()
    low, high = _BOUNDS[fact]
    if low <= number <= high:
        return number
    report_bounds(found, low, high, f"`{fact}`", statement.value, session)
    return None
