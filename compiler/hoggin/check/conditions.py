"""Conditions of a class's `rule` lines: comparisons of its settings, joined by `and` and `or`."""

from __future__ import annotations

import math
import operator
from collections.abc import Callable

from hoggin.check.evaluate import as_quantity, evaluate
from hoggin.check.scope import Scope, Session, ValueEntity
from hoggin.check.values import Quantity, Unknown, Word
from hoggin.diagnostics.families.names import E0207
from hoggin.diagnostics.families.values import E0302, E0304
from hoggin.schema.units import describe, unit_of
from hoggin.syntax import tree

_OPERATORS: dict[str, Callable[[float, float], bool]] = {
    "<": operator.lt,
    "<=": operator.le,
    ">": operator.gt,
    ">=": operator.ge,
}


def holds(condition: tree.Condition, scope: Scope, session: Session) -> bool | None:
    """Whether a condition holds; None where a value is unknown (or after a reported fault)."""
    match condition:
        case tree.All():
            return _all([holds(part, scope, session) for part in condition.conditions])
        case tree.AnyOf():
            parts = [holds(part, scope, session) for part in condition.conditions]
            if True in parts:
                return True
            return None if None in parts else False
        case tree.Within(value=value, limits=limits):
            return _all(
                [
                    _compare(">=", value, limits.low, scope, session),
                    _compare("<=", value, limits.high, scope, session),
                ]
            )
        case tree.Comparison():
            chosen = _choice_test(condition, scope, session)
            if chosen is not NotImplemented:
                return chosen
            return _compare(condition.operator, condition.left, condition.right, scope, session)
        case tree.MeetsBand():
            return session.report(E0207.band_in_rule(), condition.span)


def trace_rule(condition: tree.Condition, scope: Scope, session: Session) -> None:
    """Keep what a rule that holds sets to numbers that depend on free ones. Of one with `or`
    nothing is kept: which side of it has to hold is not known."""
    match condition:
        case tree.All():
            for part in condition.conditions:
                trace_rule(part, scope, session)
        case tree.Within(value=value, limits=limits):
            _trace(condition, limits.low, value, scope, session)
            _trace(condition, value, limits.high, scope, session)
        case tree.Comparison(operator="<" | "<="):
            _trace(condition, condition.left, condition.right, scope, session)
        case tree.Comparison(operator=">" | ">="):
            _trace(condition, condition.right, condition.left, scope, session)


def _trace(
    rule: tree.Condition,
    less: tree.Expression,
    more: tree.Expression,
    scope: Scope,
    session: Session,
) -> None:
    low, high = evaluate(less, scope, session), evaluate(more, scope, session)
    if isinstance(low, Quantity) and isinstance(high, Quantity) and low.known and high.known:
        name = " ".join(rule.span.text.split())
        unit = unit_of(low.written_in, low.dimension)
        session.traces.bound(name, low.si - high.si, -math.inf, 0.0, unit=unit)


def _all(parts: list[bool | None]) -> bool | None:
    if False in parts:
        return False
    return None if None in parts else True


def _choice_test(node: tree.Comparison, scope: Scope, session: Session) -> bool | None:
    """`chamber != fine`: the right side is one of the choice's words, not a name.
    NotImplemented where the left side is no choice."""
    if not (isinstance(node.left, tree.Path) and isinstance(node.right, tree.Path)):
        return NotImplemented  # type: ignore[no-any-return]
    entity = scope.find(node.left.dotted)
    if not (isinstance(entity, ValueEntity) and entity.choices):
        return NotImplemented  # type: ignore[no-any-return]
    session.use(entity, node.left.parts[0])
    word = node.right.dotted
    if word not in entity.choices:
        return session.report(E0304.never(node.left.dotted, word, entity.choices), node.right.span)
    if node.operator not in ("==", "!="):
        return session.report(E0304.ordered(), node.span)
    if not isinstance(entity.value, Word):
        return None
    return (entity.value.text == word) == (node.operator == "==")


def _compare(
    sign: str, left: tree.Expression, right: tree.Expression, scope: Scope, session: Session
) -> bool | None:
    first, second = evaluate(left, scope, session), evaluate(right, scope, session)
    if isinstance(first, Unknown) or isinstance(second, Unknown):
        return None
    a = as_quantity(first, left.span, session)
    b = as_quantity(second, right.span, session)
    if a is None or b is None:
        return None
    if a.dimension != b.dimension:
        return session.report(
            E0302.compared(describe(a.dimension), describe(b.dimension)), left.span.to(right.span)
        )
    return _ordered(sign, a, b)


def _ordered(sign: str, a: Quantity, b: Quantity) -> bool | None:
    if not (a.known and b.known):
        return None
    equal = abs(a.si - b.si) <= 1e-9 * max(abs(a.si), abs(b.si))
    if sign == "==":
        return equal
    if sign == "!=":
        return not equal
    if equal:
        return sign in ("<=", ">=")
    return _OPERATORS[sign](a.si, b.si)
