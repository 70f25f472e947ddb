"""Machine classes: what a `.hog` library says of a kind of machine, applied to one machine.

A class declares parameters and settings, facts, rules and the process models with their
coefficients as expressions. Applying it gives plain numbers; no machine is known to this code.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from hoggin.check.agreement import Coefficients, check_agreement
from hoggin.check.conditions import holds, trace_rule
from hoggin.check.evaluate import evaluate, measured, quantity, report_dimension
from hoggin.check.loader import misplaced
from hoggin.check.parameters import bind, bind_unknown, given_arguments
from hoggin.check.scope import ClassEntity, LetEntity, Names, Scope, Session, declare, once
from hoggin.check.stated import in_bounds
from hoggin.check.tables import TABLE_SAMPLES, check_setting, read_table
from hoggin.check.traits import trait_word
from hoggin.check.values import Quantity, String, Unknown, Value, Word
from hoggin.diagnostics.families.classes import E0403, E0404, E0405
from hoggin.diagnostics.families.models import E0406, E0407, E0408
from hoggin.diagnostics.families.plugins import E0211
from hoggin.diagnostics.fault import Fault
from hoggin.diagnostics.source import Span
from hoggin.errors import PluginError
from hoggin.models import catalog
from hoggin.schema.facts import Fact, facts_of
from hoggin.schema.kinds import KINDS, models_of
from hoggin.schema.plant import ModelUse, Setting, Spread
from hoggin.schema.tracing import OF_MODEL, Path, Traced, extremes, variables
from hoggin.schema.units import NUMBER, Unit, in_unit, known, trade_unit, unit_named
from hoggin.syntax import tree

_DIGITS_OF_DEFAULT = 3  # of a setting that a class works out

Given = Mapping[str, tuple[tree.Ident, tree.Expression]]


@dataclass
class AppliedClass:
    """What a class says of one machine."""

    settings: list[Setting] = field(default_factory=list)
    facts: dict[str, float] = field(default_factory=dict)
    spreads: dict[str, Spread] = field(default_factory=dict)
    traits: dict[str, str] = field(default_factory=dict)
    models: dict[str, ModelUse] = field(default_factory=dict)
    about: str = ""
    cautions: list[str] = field(default_factory=list)
    sources: list[str] = field(default_factory=list)
    numbers: dict[Path, object] = field(default_factory=dict)  # as they came, formulas and all


@dataclass
class _Reading:
    """One pass over a class body, for one machine (or for none: `where` is the class's name)."""

    entity: ClassEntity
    scope: Scope
    session: Session
    where: Span
    chosen_models: Mapping[str, tree.Ident]
    settings: Mapping[str, Span]  # where the machine states them, parameters too
    own: Mapping[str, float]  # facts that the machine states in the class's place, by field
    result: AppliedClass = field(default_factory=AppliedClass)

    def within(self, line: tree.Node) -> tuple[Scope, Session]:
        """Where a line's names are looked up. What an inherited one names is what this class makes
        of it: its own file means something else by it."""
        if line not in self.entity.homes:
            return self.scope, self.session
        return self.scope.at(line), self._at_home

    @cached_property
    def _at_home(self) -> Session:
        return replace(self.session, names=Names())

    @property
    def machine(self) -> Span | None:
        """The machine's name; None where the class is checked on its own."""
        return None if self.where == self.entity.node.name.span else self.where


def apply_class(
    entity: ClassEntity,
    declaration: tree.Declaration,
    settings: Given,
    chosen_models: Mapping[str, tree.Ident],
    own: Mapping[str, float],
    outer: Scope,
    session: Session,
) -> AppliedClass:
    """Apply a class to a machine: bind its arguments and settings, then read the class's body.
    own: facts that the machine states in its class's place, by field."""
    node = entity.node
    scope = entity.inside()
    arguments = given_arguments(declaration.arguments, session)
    where = declaration.name.span
    parameters = [s.parameter for s in node.body if isinstance(s, tree.SettingDefinition)]
    sizes = [p.name.text for p in node.parameters]
    set_later = [p.name.text for p in parameters]
    geometry = bind(
        *(node.parameters, arguments, scope, outer, where, "parameter", session),
        *(set_later, settings),
    )
    chosen = bind(
        *(parameters, settings, scope, outer, where, "setting", session), *(sizes, arguments)
    )
    stated = {name: value.span for name, (_, value) in {**settings, **arguments}.items()}
    reading = _Reading(entity, scope, session, where, chosen_models, stated, own)
    for name, value in {**geometry, **dict(sorted(chosen.items()))}.items():
        reading.result.settings.append(_setting(name, value, stated=name in stated))
        if isinstance(value, Quantity):
            reading.result.numbers["settings", name] = value.in_trade_unit()
    _read_body(reading)
    reading.result.facts |= own
    return reading.result


def check_class(entity: ClassEntity, session: Session) -> None:
    """Check a class on its own, with parameters and settings unknown."""
    scope = entity.inside()
    settings = [s.parameter for s in entity.node.body if isinstance(s, tree.SettingDefinition)]
    for one in (*entity.node.parameters, *settings):
        if one.name.text in facts_of("machine"):
            session.report(E0403.of_the_machine(one.name.text), one.name.span)
    bind_unknown(entity.node.parameters, scope, session)
    bind_unknown(settings, scope, session)
    _read_body(_Reading(entity, scope, session, entity.node.name.span, {}, {}, {}))


def _setting(name: str, value: Value, *, stated: bool) -> Setting:
    """A setting in words; one that the class works out is not given to its last digit."""
    match value:
        case Quantity():
            found = trade_unit(value.dimension)
            unit = found[0].name if found and found[0].name != "number" else ""
            text = value.shown() if stated else value.shown(_DIGITS_OF_DEFAULT)
            return Setting(name=name, text=text, value=value.in_trade_unit(), unit=unit)
        case Word(text=text) | String(text=text):
            return Setting(name=name, text=text)
    return Setting(name=name, text="")


def _read_body(reading: _Reading) -> None:
    body = reading.entity.node.body
    for let in (one for one in body if isinstance(one, tree.Let)):
        declare(reading.scope, let.name, LetEntity(let, reading.scope.at(let)), reading.session)
    # Rules come first: whoever wants no more than a machine's numbers need not read on.
    for rule in (one for one in body if isinstance(one, tree.Rule)):
        _rule(rule, reading)
    models: dict[str, list[tree.ModelDefinition]] = {}
    first: dict[str, Span] = {}
    for statement in body:
        match statement:
            case tree.Let():
                evaluate(statement.value, *reading.within(statement))
            case tree.SettingDefinition() | tree.Rule():
                pass
            case tree.Fact():
                if statement.name.text not in ("source", "caution"):  # of which there may be many
                    once(first, statement.name, reading.session)
                _line(statement, reading)
            case tree.ModelDefinition():
                models.setdefault(statement.role.text, []).append(statement)
            case _:
                misplaced(statement, "in a machine class", reading.session)
    _choose_models(models, reading)


def _line(line: tree.Fact, reading: _Reading) -> None:
    fact = facts_of(reading.entity.node.kind.text).get(line.name.text)
    if fact is not None and fact.ranged:
        _spread(line, fact, reading)
    else:
        _fact(line, reading)


def _fact(fact: tree.Fact, reading: _Reading) -> None:
    name, result = fact.name.text, reading.result
    scope, session = reading.within(fact)
    if fact.value is None:
        session.report(E0403.no_value(name), fact.span)
        return
    if isinstance(fact.name, tree.DottedIdent):
        session.report(E0403.away(name, name.rpartition(".")[0]), fact.name.span)
        return
    known = facts_of(reading.entity.node.kind.text)
    word = None if name in known else trait_word(fact.value, scope, session)
    if word is not None:
        result.traits[name] = word
        return
    if name in known and known[name].field in reading.own:
        with session.outside_the_plant():
            value = evaluate(fact.value, scope, session)
    else:
        value = evaluate(fact.value, scope, session)
    if name in facts_of("class"):
        text = value.text if isinstance(value, String) else ""
        if name == "about":
            result.about = text
        else:
            (result.cautions if name == "caution" else result.sources).append(text)
    elif isinstance(value, Word | String):
        result.traits[name] = value.text
    elif name in known:
        _number_fact(fact, value, known[name], reading)
    elif not isinstance(value, Unknown):
        session.report(_unknown(name, reading.entity.node.kind.text), fact.name.span)


def _spread(line: tree.Fact, fact: Fact, reading: _Reading) -> None:
    """`between(0.8 to 1.25)`: what is measured is one of these times what is computed."""
    scope, session = reading.within(line)
    ends = _between(line.value)
    if ends is None:
        session.report(E0404.spread(fact.name, fact.low, fact.high), line.span)
        return
    low = quantity(ends.low, NUMBER, fact.name, scope, session)
    high = quantity(ends.high, NUMBER, fact.name, scope, session)
    if low is None or high is None or not (low.known and high.known):
        return
    if not fact.low <= low.si <= 1.0 <= high.si <= fact.high:
        session.report(E0404.spread(fact.name, fact.low, fact.high), line.span)
        return
    source = line.source.text if line.source is not None else ""
    reading.result.spreads[fact.name] = Spread(
        low=float(low.si), high=float(high.si), source=source
    )


def _between(value: tree.Expression | None) -> tree.Range | None:
    if not isinstance(value, tree.Call) or value.function.dotted != "between":
        return None
    first = value.arguments[0]
    return first if isinstance(first, tree.Range) and len(value.arguments) == 1 else None


def _unknown(name: str, kind: str) -> Fault:
    if name in facts_of("machine"):
        return E0403.of_the_machine(name)
    return E0403.unknown(f"a {kind} class", name, [*facts_of(kind), *facts_of("class")])


def _number_fact(line: tree.Fact, value: Value, fact: Fact, reading: _Reading) -> None:
    if not isinstance(value, Quantity) or line.value is None or fact.dimension is None:
        return
    if value.dimension != fact.dimension:
        report_dimension(value, fact.dimension, f"`{fact.name}`", line.value.span, reading.session)
        return
    if value.known and in_bounds(fact, value, line.value, reading.session, reading.machine):
        reading.result.facts[fact.field] = value.in_trade_unit()


def _rule(rule: tree.Rule, reading: _Reading) -> None:
    scope, session = reading.within(rule)
    held = holds(rule.condition, scope, session)
    if held is False:
        session.report(E0405.rule(rule.reason.text), reading.where, rule.span)
    elif held:
        trace_rule(rule.condition, scope, session)


def _choose_models(models: dict[str, list[tree.ModelDefinition]], reading: _Reading) -> None:
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


def _hold(role: str, use: ModelUse, reading: _Reading) -> None:
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


def _within_table(use: ModelUse, definition: tree.ModelDefinition, reading: _Reading) -> None:
    """Report a setting outside the model's table."""
    for line in definition.body:
        if isinstance(line, tree.Fact) and line.name.text == "css":
            place = reading.settings, reading.where
            check_setting(use.table, definition.role.text, line, *place, *reading.within(line))


def _model(definition: tree.ModelDefinition, reading: _Reading) -> ModelUse | None:
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


def _named(definition: tree.ModelDefinition, reading: _Reading) -> catalog.Model | None:
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
    definition: tree.ModelDefinition, model: catalog.Model, reading: _Reading
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
    coefficient: catalog.Coefficient, fact: tree.Fact, model: str, reading: _Reading
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
