"""A plant's own lines by name."""

from __future__ import annotations

from hoggin.check.scope import Scope, Session
from hoggin.check.stated import stated
from hoggin.schema.facts import facts_of
from hoggin.syntax import tree


def plant_fact(node: tree.PlantDefinition, name: str) -> tree.Fact | None:
    """A plant's own line by its first word."""
    facts = (f for f in node.body if isinstance(f, tree.Fact) and f.name.text == name)
    return next(facts, None)


def plant_number(
    node: tree.PlantDefinition, name: str, scope: Scope, session: Session
) -> float | None:
    """A number the plant states, in the trade's unit; None where it states none, where it is not
    known yet, or after a reported fault."""
    line = plant_fact(node, name)
    found = None if line is None else stated(facts_of("plant")[name], line, scope, session)
    return None if found is None else found.in_trade_unit()
