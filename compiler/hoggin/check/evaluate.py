"""Expressions to values, with dimension checks. Faults are reported and give an unknown value."""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Iterator

from hoggin.check.free import FREE, free_quantity
from hoggin.check.measures import unit_of_measure
from hoggin.check.scope import LetEntity, Scope, Session, ValueEntity, resolve
from hoggin.check.values import UNKNOWN, Quantity, String, Unknown, Value, Word
from hoggin.diagnostics.families.classes import E0401
from hoggin.diagnostics.families.names import E0201, E0208
from hoggin.diagnostics.families.values import E0302, E0303, E0304, E0305, E0306
from hoggin.diagnostics.fault import Fault
from hoggin.diagnostics.source import Span
from hoggin.schema.tracing import greater, lesser
from hoggin.schema.units import (
    NUMBER,
    Dimension,
    describe,
    is_yearly,
    number_text,
    trade_unit,
    units_of,
)
from hoggin.syntax import tree

_FUNCTIONS: dict[str, Callable[[float, float], float]] = {"min": lesser, "max": greater}


def evaluate(expression: tree.Expression, scope: Scope, session: Session) -> Value:
    """The value of an expression; UNKNOWN after a reported fault."""
    match expression:
        case tree.Measure():
            return _measure(expression, session)
        case tree.Number():
            return _finite(expression.number, NUMBER, expression.span, session)
        case tree.Text():
            return String(expression.text)
        case tree.Path():
            return _named(expression, scope, session)
        case tree.Negated():
            value = evaluate(expression.operand, scope, session)
            inner = as_quantity(value, expression.operand.span, session)
            return Quantity(-inner.si, inner.dimension, inner.written_in) if inner else UNKNOWN
        case tree.Arithmetic():
            return _arithmetic(expression, scope, session)
        case tree.Call():
            return _call(expression, scope, session)
        case tree.By():
            return _by(expression, scope, session)
        case tree.Row():
            return session.report(E0302.row(), expression.span) or UNKNOWN


def quantity(
    expression: tree.Expression, dimension: Dimension, what: str, scope: Scope, session: Session
) -> Quantity | None:
    """Evaluate an expression that must have a dimension; None after a reported fault."""
    value = as_quantity(evaluate(expression, scope, session), expression.span, session)
    if value is None or value.dimension == dimension:
        return value
    report_dimension(value, dimension, what, expression.span, session)
    return None


def measured(
    expression: tree.Expression, dimension: Dimension, name: str, scope: Scope, session: Session
) -> Quantity | None:
    """As `quantity`, of what has a name; what is not a quantity is reported as that."""
    value = evaluate(expression, scope, session)
    if isinstance(value, Quantity) and value.dimension == dimension:
        return value
    if isinstance(value, Quantity):
        report_dimension(value, dimension, f"`{name}`", expression.span, session)
    elif not isinstance(value, Unknown):
        session.report(E0302.not_a_quantity(name), expression.span)
    return None


def report_dimension(
    value: Quantity, wanted: Dimension, what: str, span: Span, session: Session
) -> None:
    units = units_of(wanted)
    kind, found = describe(wanted), describe(value.dimension)
    if wanted.is_number:
        fault: Fault = E0302.not_plain(what, kind, found)
    elif not units:
        fault = E0302.unlike(what, kind, found)
    elif value.dimension.is_number:
        fault = E0303.missing(what, kind, units[:6])
    else:
        fault = E0302.other_kind(what, kind, found, units[:6])
    session.report(fault, span)


def report_bounds(
    found: Quantity, low: float, high: float, what: str, written: tree.Expression, session: Session
) -> None:
    """Report a quantity outside its limits, which are in the trade's unit (E0306)."""
    share = found.dimension.is_number and high <= 1
    if share and isinstance(written, tree.Number) and found.si > 1:
        fault = E0306.per_cent_missing(what, number_text(written.number))
    else:
        trade = trade_unit(found.dimension)
        size = trade[0].size if trade is not None else 1.0
        unit = found.written_in or ("%" if share else "")
        limits = (Quantity(limit * size, found.dimension, unit).shown() for limit in (low, high))
        fault = E0306.outside(what, found.shown(), *limits)
    session.report(fault, written.span)


def as_quantity(value: Value, span: Span, session: Session) -> Quantity | None:
    match value:
        case Quantity():
            return value
        case Word(text=text) | String(text=text):
            session.report(E0302.word(text), span)
    return None


def _unknown(fault: Fault, span: Span, session: Session) -> Unknown:
    session.report(fault, span)
    return UNKNOWN


def _measure(node: tree.Measure, session: Session) -> Value:
    unit = unit_of_measure(node, session)
    if unit is None:
        return UNKNOWN
    found = _finite(node.number * unit.size, unit.dimension, node.span, session)
    if isinstance(found, Quantity):
        # Messages show a rate by the year as the rate it is.
        return Quantity(found.si, found.dimension, "" if is_yearly(unit) else unit.name)
    return found


def text_of(expression: tree.Expression, what: str, scope: Scope, session: Session) -> str | None:
    """The text that a line is given; None after a reported fault, where it is no text in quotes."""
    named = isinstance(expression, tree.Path) and scope.find(expression.parts[0].text) is not None
    if named or isinstance(expression, tree.Text):
        value = evaluate(expression, scope, session)
        if isinstance(value, String):
            return value.text
        if isinstance(value, Unknown):
            return None
    return session.report(E0401.text_without_quotes(what, expression.span.text), expression.span)


def _finite(si: float, dimension: Dimension, span: Span, session: Session) -> Value:
    if math.isinf(si) or abs(si) > 1e30:
        return _unknown(E0305.too_large(), span, session)
    return Quantity(si, dimension)


def _named(path: tree.Path, scope: Scope, session: Session) -> Value:
    entity = resolve(path, scope, session)
    match entity:
        case None:
            return UNKNOWN
        case ValueEntity():
            return entity.value
        case LetEntity():
            return _let(entity, session)
    return _unknown(E0302.not_a_value(path.dotted), path.span, session)


def _let(entity: LetEntity, session: Session) -> Value:
    node = entity.node
    # A `let` in a class or template has another value in each instance: its scope tells them apart.
    key = (entity.scope, node)
    if key in session.lets_open:
        ring = [n.name.text for _, n in session.lets_open[session.lets_open.index(key) :]]
        return _unknown(E0208.circle([*ring, ring[0]]), node.name.span, session)
    if key not in session.lets:
        session.lets_open.append(key)
        try:
            value = session.lets[key] = evaluate(node.value, entity.scope, session)
            session.traces.name(value, node.name.text)
        finally:
            session.lets_open.pop()
    return session.lets[key]


def _arithmetic(node: tree.Arithmetic, scope: Scope, session: Session) -> Value:
    left = as_quantity(evaluate(node.left, scope, session), node.left.span, session)
    right = as_quantity(evaluate(node.right, scope, session), node.right.span, session)
    if left is None or right is None:
        return UNKNOWN
    match node.operator:
        case "+" | "-":
            return _sum(node, left, right, session)
        case "*":
            dimension = left.dimension * right.dimension
            return _finite(left.si * right.si, dimension, node.span, session)
        case "/":
            if right.si == 0:
                return _unknown(E0305.division_by_zero(), node.right.span, session)
            dimension = left.dimension / right.dimension
            return _finite(left.si / right.si, dimension, node.span, session)
    return _power(node, left, right, session)


def _sum(node: tree.Arithmetic, left: Quantity, right: Quantity, session: Session) -> Value:
    if left.dimension != right.dimension:
        kinds = describe(left.dimension), describe(right.dimension)
        fault = E0302.added(*kinds) if node.operator == "+" else E0302.subtracted(*reversed(kinds))
        return _unknown(fault, node.span, session)
    apply = operator.add if node.operator == "+" else operator.sub
    total = _finite(apply(left.si, right.si), left.dimension, node.span, session)
    if isinstance(total, Quantity):
        return Quantity(total.si, total.dimension, left.written_in)
    return total


def _power(node: tree.Arithmetic, base: Quantity, power: Quantity, session: Session) -> Value:
    if not power.dimension.is_number:
        return _unknown(E0302.exponent(), node.right.span, session)
    if not power.known:
        return Quantity(math.nan, base.dimension if base.dimension.is_number else NUMBER)
    dimension = base.dimension**power.si
    if not base.known:
        return Quantity(math.nan, dimension)
    if base.si < 0 or (base.si == 0 and power.si < 0) or abs(power.si) > 20:
        return _unknown(E0305.power(), node.span, session)
    try:
        raised = base.si**power.si
    except OverflowError:
        raised = math.inf
    return _finite(raised, dimension, node.span, session)


def _call(node: tree.Call, scope: Scope, session: Session) -> Value:
    if node.function.dotted in FREE:
        return _free(node, scope, session)
    function = _FUNCTIONS.get(node.function.dotted)
    if function is None:
        return _unknown(
            E0201.function(node.function.dotted, [*_FUNCTIONS, *FREE]), node.function.span, session
        )
    ranges = [argument for argument in node.arguments if isinstance(argument, tree.Range)]
    if ranges:
        return _unknown(E0302.range(node.function.dotted), ranges[0].span, session)
    values = _arguments(node, scope, session)
    first = values[0]
    result = first
    for value, argument in zip(values, node.arguments, strict=True):
        if first is None or value is None or result is None:
            return UNKNOWN
        if value.dimension != first.dimension:
            report_dimension(
                value,
                first.dimension,
                f"each argument of `{node.function.dotted}`",
                argument.span,
                session,
            )
            return UNKNOWN
        if not value.known or not result.known:
            result = Quantity(math.nan, first.dimension)
        else:
            result = Quantity(function(result.si, value.si), first.dimension, first.written_in)
    return result or UNKNOWN


def _arguments(node: tree.Call, scope: Scope, session: Session) -> list[Quantity | None]:
    """What is given to a function; of a range both ends."""
    return [
        as_quantity(evaluate(one, scope, session), one.span, session)
        for argument in node.arguments
        for one in (
            (argument.low, argument.high) if isinstance(argument, tree.Range) else (argument,)
        )
    ]


def _free(node: tree.Call, scope: Scope, session: Session) -> Value:
    """A free or uncertain number, the same one however often its words are read in a scope."""
    values = _arguments(node, scope, session)
    known = [value for value in values if value is not None and value.known]
    if len(known) < len(values):
        return next((Quantity(math.nan, v.dimension) for v in values if v is not None), UNKNOWN)
    found = free_quantity(node, known, scope, session)
    return found or UNKNOWN


def branches_of(
    node: tree.By, scope: Scope, session: Session
) -> Iterator[tuple[str, tree.Expression]]:
    """The words of a `by` and what is given for each; what is no branch is reported."""
    words = choices_of(node, scope)
    for entry in node.entries:
        key = entry.key
        if not isinstance(key, tree.Path) or entry.value is None or entry.upper is not None:
            session.report(E0304.branch(), entry.span)
            continue
        if words and key.dotted not in words:
            session.report(E0304.never(node.choice.dotted, key.dotted, words), key.span)
        yield key.dotted, entry.value


def choices_of(node: tree.By, scope: Scope) -> tuple[str, ...]:
    """The words of the choice that a `by` follows; none where it is no choice."""
    entity = scope.find(node.choice.dotted)
    return entity.choices if isinstance(entity, ValueEntity) else ()


def _by(node: tree.By, scope: Scope, session: Session) -> Value:
    """`by chamber { coarse: a, fine: b }`. Every branch is evaluated, so that each is checked."""
    chosen = evaluate(node.choice, scope, session)
    branches = {
        word: evaluate(value, scope, session) for word, value in branches_of(node, scope, session)
    }
    if isinstance(chosen, Unknown):
        first = next(iter(branches.values()), UNKNOWN)
        return Quantity(math.nan, first.dimension) if isinstance(first, Quantity) else UNKNOWN
    if not isinstance(chosen, Word):
        return _unknown(E0304.by_no_choice(node.choice.dotted), node.choice.span, session)
    if chosen.text not in branches:
        return _unknown(E0304.by_incomplete(node.choice.dotted, chosen.text), node.span, session)
    return branches[chosen.text]
