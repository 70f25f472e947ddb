"""A plant's own lines by name."""

from __future__ import annotations

from hoggin.check.evaluate import quantity
from hoggin.check.scope import Scope, Session
from hoggin.check.values import Quantity
from hoggin.diagnostics.families.classes import E0403
from hoggin.schema.units import Dimension
from hoggin.syntax import tree


def plant_fact(node: tree.PlantDefinition, name: str) -> tree.Fact | None:
    """A plant's own line by its first word."""
    facts = (f for f in node.body if isinstance(f, tree.Fact) and f.name.text == name)
    return next(facts, None)


def plant_quantity(
    node: tree.PlantDefinition,
    name: str,
    dimension: Dimension,
    sample: str,
    scope: Scope,
    session: Session,
) -> tuple[Quantity, tree.Expression] | None:
    """A number the plant states and where; None where it states none, where it is not known yet,
    or after a reported fault."""
    fact = plant_fact(node, name)
    if fact is None:
        return None
    if fact.value is None:
        session.diagnostics.report(E0403.no_value_such_as(name, sample), fact.span)
        return None
    found = quantity(fact.value, dimension, f"`{name}`", scope, session)
    return None if found is None or not found.known else (found, fact.value)
