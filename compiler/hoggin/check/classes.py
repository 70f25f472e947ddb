"""Machine classes: what a `.hog` library says of a kind of machine, applied to one machine.

A class declares parameters and settings, facts, rules and the process models with their
coefficients as expressions. Applying it gives plain numbers; no machine is known to this code.
"""

from __future__ import annotations

from collections.abc import Mapping

from hoggin.check.class_models import choose_models
from hoggin.check.class_reading import AppliedClass, Reading
from hoggin.check.conditions import holds, trace_rule
from hoggin.check.evaluate import evaluate, quantity, report_dimension
from hoggin.check.loader import misplaced
from hoggin.check.parameters import bind, bind_unknown, given_arguments
from hoggin.check.scope import ClassEntity, LetEntity, Scope, Session, declare, once
from hoggin.check.stated import in_bounds
from hoggin.check.traits import trait_word
from hoggin.check.values import Quantity, String, Unknown, Value, Word
from hoggin.diagnostics.families.classes import E0403, E0404, E0405
from hoggin.diagnostics.fault import Fault
from hoggin.diagnostics.source import Span
from hoggin.schema.facts import Fact, facts_of
from hoggin.schema.plant import Setting, Spread
from hoggin.schema.units import NUMBER, trade_unit
from hoggin.syntax import tree

_DIGITS_OF_DEFAULT = 3  # of a setting that a class works out

Given = Mapping[str, tuple[tree.Ident, tree.Expression]]


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
    reading = Reading(entity, scope, session, where, chosen_models, stated, own)
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
    _read_body(Reading(entity, scope, session, entity.node.name.span, {}, {}, {}))


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


def _read_body(reading: Reading) -> None:
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
    choose_models(models, reading)


def _line(line: tree.Fact, reading: Reading) -> None:
    fact = facts_of(reading.entity.node.kind.text).get(line.name.text)
    if fact is not None and fact.ranged:
        _spread(line, fact, reading)
    else:
        _fact(line, reading)


def _fact(fact: tree.Fact, reading: Reading) -> None:
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


def _spread(line: tree.Fact, fact: Fact, reading: Reading) -> None:
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


def _number_fact(line: tree.Fact, value: Value, fact: Fact, reading: Reading) -> None:
    if not isinstance(value, Quantity) or line.value is None or fact.dimension is None:
        return
    if value.dimension != fact.dimension:
        report_dimension(value, fact.dimension, f"`{fact.name}`", line.value.span, reading.session)
        return
    if value.known and in_bounds(fact, value, line.value, reading.session, reading.machine):
        reading.result.facts[fact.field] = value.in_trade_unit()


def _rule(rule: tree.Rule, reading: Reading) -> None:
    scope, session = reading.within(rule)
    held = holds(rule.condition, scope, session)
    if held is False:
        session.report(E0405.rule(rule.reason.text), reading.where, rule.span)
    elif held:
        trace_rule(rule.condition, scope, session)
