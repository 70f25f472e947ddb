"""The units that a plant is written in: for each unit of results, the one its writer uses."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from hoggin.check.scope import LetEntity, Session
from hoggin.check.values import Quantity
from hoggin.schema.units import SUFFIXES, in_currency, result_unit, written_unit
from hoggin.syntax import tree
from hoggin.syntax.walk import below


def written_units(node: tree.PlantDefinition, currency: str, session: Session) -> dict[str, str]:
    """The unit used most in a plant's block in place of each unit of results, where it is another:
    `{"mm": "in", "t/h": "stph"}`. A value by name counts in the unit of its `let`, wherever that
    is, so that moving it to another file makes no difference."""
    counts: dict[str, Counter[str]] = {}
    for unit in _units(node, session):
        told = result_unit(unit)
        if told is not None:
            counts.setdefault(told, Counter())[unit] += 1
    most = {
        told: min(found, key=lambda unit: (-found[unit], unit))
        for told, found in sorted(counts.items())
    }
    prices = {unit: in_currency(unit, currency) for unit in SUFFIXES.values()}
    told_in = {**(prices if currency else {}), **most}
    return {told: unit for told, unit in sorted(told_in.items()) if unit != told}


def _units(node: tree.PlantDefinition, session: Session) -> Iterator[str]:
    for part in below(node):
        unit = written_unit(part.unit) if isinstance(part, tree.Measure) else None
        if unit is not None:
            yield unit.name
        elif isinstance(part, tree.Path):
            yield from _of_let(part, session)


def _of_let(path: tree.Path, session: Session) -> Iterator[str]:
    entity = session.names.uses.get(path.parts[-1])
    if isinstance(entity, LetEntity):
        value = session.lets.get((entity.scope, entity.node))
        if isinstance(value, Quantity) and value.written_in:
            yield value.written_in
