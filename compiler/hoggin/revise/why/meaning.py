"""What expressions mean, as words that are equal where the meaning is: layout, the unit a number is
written in and the order of a list make no difference."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import fields

from hoggin.check.evaluate import evaluate
from hoggin.check.scope import Scope, Session
from hoggin.check.values import Quantity
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.syntax import tree

_DIGITS = 10  # of a number in SI units: the dust of converting a unit lies below


def meaning(node: tree.Expression | None) -> str:
    """The words of an expression. What holds no name is worked out, in SI units."""
    if node is None:
        return ""
    return _constant(node) or _words(node)


def _words(node: tree.Expression) -> str:
    match node:
        case tree.Measure(number=number, unit=unit):
            return f"{number:.12g} {unit}"
        case tree.Number(number=number):
            return f"{number:.12g}"
        case tree.Text(text=text):
            return f'"{text}"'
        case tree.Path():
            return node.dotted
        case tree.Call(function=function, arguments=arguments):
            return f"{function.dotted}({', '.join(map(meaning, arguments))})"
        case tree.Negated(operand=operand):
            return f"-({meaning(operand)})"
        case tree.Arithmetic(operator=operator, left=left, right=right):
            return f"({meaning(left)}) {operator} ({meaning(right)})"
        case tree.By(choice=choice, entries=entries):
            return f"by {choice.dotted} {meaning_of_entries(entries)}"


def meaning_of_entries(entries: Iterable[tree.Entry]) -> str:
    """The words of a list in braces; its order says nothing."""
    return "{ " + ", ".join(sorted(map(_entry, entries))) + " }"


def meaning_of_condition(node: tree.Condition) -> str:
    match node:
        case tree.Comparison(operator=operator, left=left, right=right):
            return f"{meaning(left)} {operator} {meaning(right)}"
        case tree.Between(value=value, low=low, high=high):
            return f"{meaning(value)} between {meaning(low)} and {meaning(high)}"
        case tree.MeetsBand(product=product, band=band):
            return f"{product.dotted} meets {band.dotted}"
        case tree.All(conditions=conditions):
            return " and ".join(f"({meaning_of_condition(c)})" for c in conditions)
        case tree.AnyOf(conditions=conditions):
            return " or ".join(f"({meaning_of_condition(c)})" for c in conditions)


def meaning_of_parameter(parameter: tree.Parameter) -> str:
    kind = parameter.type
    words = (
        kind.unit
        if isinstance(kind, tree.UnitType)
        else " | ".join(choice.text for choice in kind.choices)
    )
    limits = f"{meaning(parameter.low)} to {meaning(parameter.high)}"
    return f"{words} from {limits} = {meaning(parameter.default)}"


def paths_in(node: object) -> Iterator[tree.Path]:
    """Every dotted name in a node and below it."""
    if isinstance(node, tree.Path):
        yield node
    elif isinstance(node, tree.Node):
        for field in fields(node):
            if field.name != "span":
                yield from paths_in(getattr(node, field.name))
    elif isinstance(node, tuple):
        for item in node:
            yield from paths_in(item)


def _entry(entry: tree.Entry) -> str:
    words = meaning(entry.key)
    if entry.value is not None:
        words += f": {meaning(entry.value)}"
    return words if entry.upper is None else f"{words} to {meaning(entry.upper)}"


def _constant(node: tree.Expression) -> str | None:
    """A sum without names as one number with its dimension; None where it has names or faults."""
    if not _is_constant(node):
        return None
    value = evaluate(node, Scope(), Session(Diagnostics()))
    if not isinstance(value, Quantity) or not value.known:
        return None
    d = value.dimension
    return f"{value.si:.{_DIGITS}g} [{d.length:g} {d.mass:g} {d.time:g} {d.angle:g}]"


def _is_constant(node: tree.Expression) -> bool:
    match node:
        case tree.Measure() | tree.Number():
            return True
        case tree.Negated(operand=operand):
            return _is_constant(operand)
        case tree.Arithmetic(left=left, right=right):
            return _is_constant(left) and _is_constant(right)
        case tree.Call(arguments=arguments):
            return all(map(_is_constant, arguments))
    return False
