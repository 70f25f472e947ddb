"""Trees as plain words in the trade's units: layout, comments, and the way a number is written make
no difference."""

from __future__ import annotations

from hoggin.check.year import unit_of_year
from hoggin.schema.units import NUMBER, in_currency, in_unit, is_yearly, trade_unit, written_unit
from hoggin.syntax import printer, tree


def words(node: tree.Node) -> str:
    """A node on one line; of a statement with a block, what is before the block."""
    return printer.line(node, _in_trade_unit)


def typed(node: tree.Parameter) -> str:
    """A parameter's type, range and default: `mm from 5 mm to 60 mm = 20 mm`."""
    return printer.typed(node, _in_trade_unit)


def cited(value: tree.Expression | None, source: tree.Text | None) -> str:
    """A value with the source it is said to be from."""
    said = "" if value is None else words(value)
    return said if source is None else f"{said} source {words(source)}".strip()


def _in_trade_unit(node: tree.Expression) -> str | None:
    """So that 1/2 inch and 12.7 mm are the same words. A rate by the year stays one: what it is an
    hour, the plant says."""
    known = written_unit(node.unit) if isinstance(node, tree.Measure) else None
    own = None if known is None else trade_unit(known.dimension)
    if not isinstance(node, tree.Measure) or known is None or own is None:
        return None
    if known.dimension == NUMBER:
        return None
    if is_yearly(known):
        by_year = unit_of_year(known)
        return f"{in_unit(node.number * known.size, by_year):.12g} {by_year.name}"
    unit = in_currency(own[0].name, known.currency)
    return f"{in_unit(node.number * known.size, own[0]):.12g} {unit}"
