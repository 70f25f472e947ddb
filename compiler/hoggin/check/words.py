"""Expressions and conditions as plain words, made from the tree: layout, comments, and the way a
number is written make no difference."""

from __future__ import annotations

from hoggin.schema.units import NUMBER, UNITS, in_unit, trade_unit
from hoggin.syntax import tree


def parameter(node: tree.Parameter) -> str:
    """Its type with range and default: `mm from 5 mm to 60 mm = 20 mm`."""
    kind = node.type
    words = (
        kind.unit
        if isinstance(kind, tree.UnitType)
        else " | ".join(choice.text for choice in kind.choices)
    )
    if node.low is not None and node.high is not None:
        words += f" from {expression(node.low)} to {expression(node.high)}"
    if node.default is not None:
        words += f" = {expression(node.default)}"
    return words


def cited(value: tree.Expression | None, source: tree.Text | None) -> str:
    """A value with the source it is said to be from."""
    words = "" if value is None else expression(value)
    return words if source is None else f'{words} source "{source.text}"'.strip()


def expression(node: tree.Expression) -> str:
    """An expression with single spaces, in brackets wherever it is part of another."""
    match node:
        case tree.Measure(number=number, unit=unit):
            return _measure(number, unit)
        case tree.Number(number=number):
            return f"{number:.12g}"
        case tree.Text(text=text):
            return f'"{text}"'
        case tree.Path():
            return node.dotted
        case tree.Call(function=function, arguments=arguments):
            return f"{function.dotted}({', '.join(map(expression, arguments))})"
        case tree.Negated(operand=operand):
            return f"-{_operand(operand)}"
        case tree.Arithmetic(operator=operator, left=left, right=right):
            return f"{_operand(left)} {operator} {_operand(right)}"
        case tree.By(choice=choice, entries=entries):
            return f"by {choice.dotted} {{ {', '.join(map(entry, entries))} }}"


def condition(node: tree.Condition) -> str:
    """A condition, its parts in brackets where it has several."""
    match node:
        case tree.Comparison(operator=operator, left=left, right=right):
            return f"{expression(left)} {operator} {expression(right)}"
        case tree.Between(value=value, low=low, high=high):
            return f"{expression(value)} between {expression(low)} and {expression(high)}"
        case tree.MeetsBand(product=product, band=band):
            return f"{product.dotted} meets {band.dotted}"
        case tree.All(conditions=conditions):
            return " and ".join(f"({condition(part)})" for part in conditions)
        case tree.AnyOf(conditions=conditions):
            return " or ".join(f"({condition(part)})" for part in conditions)


def _operand(node: tree.Expression) -> str:
    words = expression(node)
    return f"({words})" if isinstance(node, tree.Arithmetic | tree.Negated) else words


def entry(node: tree.Entry) -> str:
    """`63 mm: 55 %`, or a bare size."""
    words = expression(node.key)
    if node.value is not None:
        words += f": {expression(node.value)}"
    return words if node.upper is None else f"{words} to {expression(node.upper)}"


def _measure(number: float, unit: str) -> str:
    """In the trade's own unit, so that 1/2 inch and 12.7 mm are the same words."""
    known = UNITS.get(unit)
    own = None if known is None else trade_unit(known.dimension)
    if known is None or own is None or known.dimension == NUMBER:
        return f"{number:.12g} {unit}"
    return f"{in_unit(number * known.size, own[0]):.12g} {own[0].name}"
