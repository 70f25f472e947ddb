"""What a tree means, as words that are equal if the meaning is equal: layout, the unit of a number
and the order of a list make no difference."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import astuple

from hoggin.check.evaluate import evaluate
from hoggin.check.scope import Scope, Session
from hoggin.check.values import Quantity
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.schema.units import written_unit
from hoggin.syntax import printer, tree
from hoggin.syntax.walk import below, children

_DIGITS = 10  # of a number in SI units: the dust of converting a unit lies below


def meaning(node: tree.Node | None) -> str:
    """The words of an expression, entry or condition. What holds no name is computed, in SI
    units."""
    return "" if node is None else printer.line(node, _words)


def meaning_of_entries(entries: Iterable[tree.Entry]) -> str:
    """The words of a list in braces; its order has no meaning."""
    return "{ " + ", ".join(sorted(map(meaning, entries))) + " }"


def meaning_of_parameter(parameter: tree.Parameter) -> str:
    return printer.typed(parameter, _words)


def _words(node: tree.Expression) -> str | None:
    if isinstance(node, tree.By):
        return f"by {node.choice.dotted} {meaning_of_entries(node.entries)}"
    if isinstance(node, tree.Row):
        return meaning_of_entries(node.entries)
    return _constant(node)


def _constant(node: tree.Expression) -> str | None:
    """A sum without names as one number with its dimension; None where it has names or faults."""
    if not _is_constant(node):
        return None
    value = evaluate(node, Scope(), Session(Diagnostics()))
    if not isinstance(value, Quantity) or not value.known:
        return None
    powers = " ".join(f"{power:g}" for power in astuple(value.dimension))
    return f"{value.si:.{_DIGITS}g} [{' '.join([powers, *_currencies(node)])}]"


def _currencies(node: tree.Node) -> list[str]:
    """The currencies of an expression's prices: a dimension does not tell one from another."""
    measures = (one for one in below(node) if isinstance(one, tree.Measure))
    return sorted({unit.currency for m in measures if (unit := written_unit(m.unit))} - {""})


def _is_constant(node: tree.Node) -> bool:
    match node:
        case tree.Measure() | tree.Number():
            return True
        case tree.Negated() | tree.Arithmetic():
            return all(map(_is_constant, children(node)))
        case tree.Call(arguments=arguments):
            return all(map(_is_constant, arguments))
    return False
