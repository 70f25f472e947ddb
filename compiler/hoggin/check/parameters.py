"""Parameters of classes and templates, and settings of classes: types, ranges, defaults."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace

from hoggin.check.class_parameters import class_parameter
from hoggin.check.evaluate import as_quantity, evaluate, measured, quantity
from hoggin.check.free import picked_word
from hoggin.check.measures import check_currency, likely_units
from hoggin.check.scope import (
    ClassParameterEntity,
    Scope,
    Session,
    ValueEntity,
    mention,
    once,
)
from hoggin.check.values import UNKNOWN, Quantity, String, Unknown, Value, Word
from hoggin.diagnostics.families.classes import E0402, E0403, E0404
from hoggin.diagnostics.families.values import E0301, E0302, E0304
from hoggin.diagnostics.fault import Fault
from hoggin.diagnostics.source import Span
from hoggin.diagnostics.suggest import did_you_mean
from hoggin.schema import units
from hoggin.schema.tracing import extremes
from hoggin.schema.units import NUMBER, Dimension, written_unit
from hoggin.syntax import tree
from hoggin.syntax.printer import line
from hoggin.syntax.walk import unit_of

_ValueType = tree.UnitType | tree.ChoiceType | tree.Range


def given_arguments(
    arguments: Iterable[tree.Argument], session: Session
) -> dict[str, tuple[tree.Ident, tree.Expression]]:
    """Arguments by name; one that is given twice is reported."""
    first: dict[str, Span] = {}
    given: dict[str, tuple[tree.Ident, tree.Expression]] = {}
    for argument in arguments:
        if once(first, argument.name, session):
            given[argument.name.text] = (argument.name, argument.value)
    return given


def bind(
    parameters: Iterable[tree.Parameter],
    given: Mapping[str, tuple[tree.Ident, tree.Expression]],
    scope: Scope,
    given_scope: Scope,
    owner: Span,
    what: str,
    session: Session,
    elsewhere: Collection[str] = (),
    misplaced: Collection[str] = (),
) -> dict[str, Value]:
    """Enter each parameter with its given or default value in `scope`; report what is missing,
    unknown, of the wrong dimension or out of range. `what` is "setting" or "parameter"; names
    `elsewhere` are those of the machine's other list, `misplaced` what is given in that one."""
    values: dict[str, Value] = {}
    names: dict[str, Span] = {}
    parameters = tuple(parameters)
    meant = _meant({p.name.text for p in parameters}, given)
    for parameter in parameters:
        name, own = parameter.name.text, scope.at(parameter)
        once(names, parameter.name, session)
        if name in given:
            stated, expression = given[name]
            session.names.uses[stated] = parameter.name
            if parameter.default is not None and isinstance(parameter.type, tree.UnitType):
                mention(parameter.default, own, session)
            entity = _bound(parameter, expression, given_scope, own, session)
        else:
            entity = _bound(parameter, parameter.default, own, own, session)
            known = parameter.default is not None or name in session.lost_names or name in meant
            if not known and name not in misplaced:
                session.report(_missing(parameter, what), owner, parameter.span)
        values[name] = entity.value if isinstance(entity, ValueEntity) else UNKNOWN
        scope.names[name] = entity
    for name, (ident, _) in given.items():
        if name not in names and ident.text not in session.lost_names:
            session.report(_unknown(what, name, names, elsewhere), ident.span)
    return values


def _bound(
    parameter: tree.Parameter,
    expression: tree.Expression | None,
    given_scope: Scope,
    scope: Scope,
    session: Session,
) -> ValueEntity | ClassParameterEntity:
    """A parameter with its value, which is unknown where no expression gives it."""
    kind = parameter.type
    if isinstance(kind, tree.ClassType):
        return class_parameter(parameter, kind, expression, given_scope, session)
    value: Value = UNKNOWN
    if expression is not None:
        value = _checked(parameter, kind, expression, given_scope, scope, session)
    return ValueEntity(parameter.name, value, _words(kind))


def _meant(names: Collection[str], given: Iterable[str]) -> set[str]:
    """The parameters that names given, and unknown, are likely misspelt for."""
    hints = (did_you_mean(name, names) for name in given if name not in names)
    return {hint.split("`")[1] for hint in hints if hint.startswith("did you mean")}


def _unknown(what: str, name: str, known: Collection[str], elsewhere: Collection[str]) -> Fault:
    if name not in elsewhere:
        return E0403.unknown_here(what, name, known)
    return E0403.is_a_setting(name) if what == "parameter" else E0403.is_a_parameter(name)


def bind_unknown(parameters: Iterable[tree.Parameter], scope: Scope, session: Session) -> None:
    """Enter parameters without values, to check a class or template on its own."""
    names: dict[str, Span] = {}
    for parameter in parameters:
        once(names, parameter.name, session)
        own = scope.at(parameter)
        kind = parameter.type
        if isinstance(kind, tree.ClassType):
            found = class_parameter(parameter, kind, parameter.default, own, session)
            scope.names[parameter.name.text] = replace(found, stands_for=None)
            continue
        if parameter.default is not None:
            _checked(parameter, kind, parameter.default, own, own, session)
        value: Value = UNKNOWN
        if isinstance(kind, tree.UnitType) and kind.unit != "text":
            dimension = _dimension(kind, session)
            value = UNKNOWN if dimension is None else Quantity(math.nan, dimension)
        if isinstance(kind, tree.Range):
            low = evaluate(kind.low, own, session)
            value = Quantity(math.nan, low.dimension) if isinstance(low, Quantity) else UNKNOWN
            if isinstance(low, Quantity):
                quantity(kind.high, low.dimension, "the range", own, session)
        scope.names[parameter.name.text] = ValueEntity(parameter.name, value, _words(kind))


def _missing(parameter: tree.Parameter, what: str) -> Fault:
    name, kind = parameter.name.text, parameter.type
    if isinstance(kind, tree.ClassType):
        return E0402.parameter(name, "LIBRARY.CLASS", f", a {kind.kind.text} class")
    if isinstance(kind, tree.ChoiceType):
        return E0402.choice(what, name, [choice.text for choice in kind.choices])
    unit = unit_of(kind)
    limits = f", {line(kind)}" if isinstance(kind, tree.Range) else ""
    sample = {"text": '"..."', "number": "..."}.get(unit, f"... {unit}".rstrip())
    missing = E0402.setting if what == "setting" else E0402.parameter
    return missing(name, sample, limits)


def _checked(
    parameter: tree.Parameter,
    kind: _ValueType,
    expression: tree.Expression,
    given_scope: Scope,
    scope: Scope,
    session: Session,
) -> Value:
    """The value of one parameter, checked against its type and range. A choice's words are not
    names: they are read off the expression before it is evaluated."""
    if isinstance(kind, tree.ChoiceType):
        return _choice(parameter.name.text, kind, expression, given_scope, session)
    if isinstance(kind, tree.UnitType) and kind.unit == "text":
        value = evaluate(expression, given_scope, session)
        if not isinstance(value, String | Unknown):
            session.report(E0302.not_a_text(), expression.span)
        return value
    limits = _limits(kind, scope, session) if isinstance(kind, tree.Range) else None
    if isinstance(kind, tree.UnitType):
        dimension = _dimension(kind, session)
    else:
        dimension = limits[0].dimension if limits is not None else None
    if dimension is None:
        return UNKNOWN
    found = measured(expression, dimension, parameter.name.text, given_scope, session)
    if found is not None and not found.written_in:
        found = Quantity(found.si, dimension, _unit_word(kind))
    if found is None:
        return Quantity(math.nan, dimension)
    if limits is None or _in_range(parameter, found, limits, expression.span, session):
        return found
    return Quantity(math.nan, dimension)


def _unit_word(kind: tree.UnitType | tree.Range) -> str:
    unit = written_unit(unit_of(kind))
    return unit.name if unit is not None else ""


def _words(kind: _ValueType) -> tuple[str, ...]:
    return tuple(c.text for c in kind.choices) if isinstance(kind, tree.ChoiceType) else ()


def _choice(
    name: str, kind: tree.ChoiceType, expression: tree.Expression, scope: Scope, session: Session
) -> Value:
    return chosen_word(name, _words(kind), expression, scope, session)


def chosen_word(
    name: str,
    words: tuple[str, ...],
    expression: tree.Expression,
    scope: Scope,
    session: Session,
) -> Value:
    """The one of some words that an expression names; UNKNOWN after a reported fault."""
    if isinstance(expression, tree.Call):
        expression = picked_word(expression, name, session)
    if isinstance(expression, tree.Path):
        if expression.dotted in words:
            return Word(expression.dotted)
        entity = scope.find(expression.parts[0].text)
        if isinstance(entity, ValueEntity):  # a template hands its own choice on
            value = entity.value
            if isinstance(value, Unknown) or (isinstance(value, Word) and value.text in words):
                session.use(entity, expression.parts[0])
                return value
    session.report(E0304.not_a_choice(name, expression.span.text, words), expression.span)
    return UNKNOWN


def _dimension(kind: tree.UnitType, session: Session) -> Dimension | None:
    if kind.unit == "number":
        return NUMBER
    unit = written_unit(kind.unit)
    if unit is None:
        known = [*likely_units(kind.unit), "number", "text"]
        return session.report(E0301.not_a_type(kind.unit, known), kind.span)
    check_currency(unit.currency, kind.span, session)
    return unit.dimension


def _limits(kind: tree.Range, scope: Scope, session: Session) -> tuple[Quantity, Quantity] | None:
    """Both ends of a range, of one dimension; None after a reported fault."""
    low = as_quantity(evaluate(kind.low, scope, session), kind.low.span, session)
    if low is None:
        return None
    high = quantity(kind.high, low.dimension, "the range", scope, session)
    return None if high is None else (low, high)


def _in_range(
    parameter: tree.Parameter,
    value: Quantity,
    limits: tuple[Quantity, Quantity],
    span: Span,
    session: Session,
) -> bool:
    low, high = limits
    if not (value.known and low.known and high.known):
        return True
    unit = units.unit_of(value.written_in, value.dimension)
    session.traces.bound(parameter.name.text, value.si, low.si, high.si, unit=unit)
    slack = 1e-9 * max(abs(low.si), abs(high.si))
    found = extremes(value.si)
    outside = [si for si in found if not low.si - slack <= si <= high.si + slack]
    if not outside:
        return True
    value = Quantity(outside[0], value.dimension, value.written_in)
    shown = parameter.name.text, value.shown()
    least, most = (_in_same_unit(limit, value) for limit in (low, high))
    below = value.si < low.si
    fault = E0404.below(*shown, least, most) if below else E0404.above(*shown, most, least)
    session.report(fault, span, parameter.span)
    return False


def _in_same_unit(limit: Quantity, value: Quantity) -> str:
    return Quantity(limit.si, limit.dimension, value.written_in or limit.written_in).shown()
