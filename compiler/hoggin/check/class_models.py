"""The process models of a machine class: which of them a machine uses, with what coefficients."""

from __future__ import annotations

import math

from hoggin.check.agreement import Coefficients, check_agreement
from hoggin.check.class_reading import Reading
from hoggin.check.evaluate import measured
from hoggin.check.loader import misplaced
from hoggin.check.scope import once
from hoggin.check.tables import TABLE_SAMPLES, check_setting, read_table
from hoggin.diagnostics.families.classes import E0404
from hoggin.diagnostics.families.models import E0406, E0407, E0408
from hoggin.diagnostics.families.plugins import E0211
from hoggin.diagnostics.source import Span
from hoggin.errors import PluginError
from hoggin.models import catalog
from hoggin.schema.kinds import KINDS, models_of
from hoggin.schema.plant import ModelUse
from hoggin.schema.tracing import OF_MODEL, Traced, extremes, variables
from hoggin.schema.units import NUMBER, Unit, in_unit, known, unit_named
from hoggin.syntax import tree


def choose_models(models: dict[str, list[tree.ModelDefinition]], reading: Reading) -> None:
    """Take the model of each role: the one that the machine names, else the first that the class
    states. All are read, so a fault is reported wherever it is."""
    kind = reading.entity.node.kind.text
    report = reading.session.report
    for role, definitions in models.items():
        if role not in models_of(kind):
            report(E0406.role(kind, role, models_of(kind)), definitions[0].role.span)
            continue
        uses = {d.name.text: _model(d, reading) for d in definitions}
        pick = reading.chosen_models.get(role)
        name = pick.text if pick else definitions[0].name.text
        if name not in uses and pick is not None:
            report(E0406.not_in_class(role, name, uses), pick.span)
            continue
        use = uses[name]
        if use is not None:
            reading.result.models[role] = use
            _hold(role, use, reading)
            if use.table:
                _within_table(use, next(d for d in definitions if d.name.text == name), reading)
    for role, chosen in reading.chosen_models.items():
        if role not in models:
            report(E0406.nothing_to_choose(role), chosen.span)
    for role in KINDS[kind].needs if kind in KINDS else ():
        if role not in models:
            report(
                E0408.missing(reading.entity.node.name.text, role, catalog.names(role, kind)),
                reading.entity.node.name.span,
            )


def _hold(role: str, use: ModelUse, reading: Reading) -> None:
    """Keep the ranges of coefficients that depend on free numbers: as read, since the use of a
    model has plain ones."""
    values = reading.result.numbers["models", role, use.model]
    assert isinstance(values, dict)
    model = catalog.find(role, use.model)
    for one in model.coefficients if model is not None else ():
        unit = known(one.unit or "number")
        si = values.get(one.name, math.nan) * unit.size
        ends = one.low * unit.size, one.high * unit.size
        reading.session.traces.bound(one.name, si, *ends, OF_MODEL, _written_in(si, unit))


def _written_in(si: float, unit: Unit) -> Unit:
    """The unit that the free number of a coefficient is written in, if it is of the same kind."""
    free = next(variables(si.formula), None) if isinstance(si, Traced) else None
    if free is None or free.dimension != unit.dimension:
        return unit
    return unit_named(free.unit) or unit


def _within_table(use: ModelUse, definition: tree.ModelDefinition, reading: Reading) -> None:
    """Report a setting outside the model's table."""
    for line in definition.body:
        if isinstance(line, tree.Fact) and line.name.text == "css":
            place = reading.settings, reading.where
            check_setting(use.table, definition.role.text, line, *place, *reading.within(line))


def _model(definition: tree.ModelDefinition, reading: Reading) -> ModelUse | None:
    model = _named(definition, reading)
    if model is None:
        return None
    role, name = definition.role.text, definition.name.text
    given = _given(definition, model, reading)
    values: dict[str, float] = {}
    for coefficient in model.coefficients:
        fact = given.get(coefficient.name)
        if fact is not None:
            values[coefficient.name] = _coefficient(coefficient, fact, name, reading)
        elif coefficient.default is not None:
            values[coefficient.name] = coefficient.default
        else:
            reading.session.report(
                E0407.missing(name, coefficient.name, coefficient.meaning, coefficient.unit),
                definition.name.span,
            )
    found = Coefficients(
        model, given, values, definition.name.span, reading.settings, reading.where
    )
    check_agreement(found, reading.session)
    reading.result.numbers["models", role, name] = values
    if not model.table:
        return ModelUse(model=name, coefficients=values)
    table = given.get(model.table)
    if table is None:
        fault = E0407.no_table(name, model.table, TABLE_SAMPLES[model.table])
        return reading.session.report(fault, definition.name.span)
    rows = read_table(table, *reading.within(table))
    return ModelUse(model=name, coefficients=values, table=rows) if rows else None


def _named(definition: tree.ModelDefinition, reading: Reading) -> catalog.Model | None:
    """The model that a class names; None after a reported fault."""
    role, name = definition.role.text, definition.name.text
    kind = reading.entity.node.kind.text
    try:
        model = catalog.find(role, name)
    except PluginError as broken:
        return reading.session.report(E0211.broken(str(broken)), definition.name.span)
    if model is None:
        from hoggin.plugins.models import model_names

        return reading.session.report(
            E0406.unknown(role, name, (*catalog.names(role, kind), *model_names(role))),
            definition.name.span,
        )
    if model.kinds and kind not in model.kinds:
        listed = ", ".join(f"`{one}`" for one in catalog.names(role, kind))
        fault = E0406.of_other_kind(name, role, kind, listed)
        return reading.session.report(fault, definition.name.span)
    return model


def _given(
    definition: tree.ModelDefinition, model: catalog.Model, reading: Reading
) -> dict[str, tree.Fact]:
    """What a class states of a model, by name. What the model does not take is reported."""
    given: dict[str, tree.Fact] = {}
    first: dict[str, Span] = {}
    for statement in definition.body:
        if isinstance(statement, tree.Fact) and (
            statement.value is not None or statement.name.text == model.table
        ):
            once(first, statement.name, reading.session)
            given[statement.name.text] = statement
        else:
            misplaced(statement, "in a model", reading.session)
    known = {coefficient.name for coefficient in model.coefficients} | {model.table} - {""}
    for wrong in given.keys() - known:
        fault = E0406.coefficient(model.name, wrong, known)
        reading.session.report(fault, given[wrong].name.span)
    return given


def _coefficient(
    coefficient: catalog.Coefficient, fact: tree.Fact, model: str, reading: Reading
) -> float:
    """A coefficient in the unit its model wants; NaN after a reported fault or when unknown."""
    unit = known(coefficient.unit or "number")
    scope, session = reading.within(fact)
    if fact.value is None:
        return math.nan
    value = measured(fact.value, unit.dimension, coefficient.name, scope, session)
    if value is None:
        return math.nan
    for si in extremes(value.si) if value.known else ():
        number = in_unit(si, unit)
        slack = 1e-9 * max(abs(number), 1.0)
        if not coefficient.low - slack <= number <= coefficient.high + slack:
            name = unit.name if unit.dimension != NUMBER else ""
            shown = f"{number:g} {name}".rstrip()
            owner, ends = reading.entity.node.name.text, (coefficient.low, coefficient.high)
            fault = E0404.coefficient(coefficient.name, shown, model, owner, *ends, name)
            session.report(fault, fact.span, reading.where)
            return math.nan
    return in_unit(value.si, unit)
