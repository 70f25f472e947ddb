"""The machine class a fit starts from: found by name, its coefficients computed per sample."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from hoggin.check.evaluate import evaluate, report_dimension
from hoggin.check.library import load_library
from hoggin.check.loader import Loader
from hoggin.check.parameters import bind, bind_unknown
from hoggin.check.records import lines_of, written_out
from hoggin.check.scope import ClassEntity, Entity, LetEntity, Scope, Session, ValueEntity, declare
from hoggin.check.values import Quantity, Word
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.diagnostics.suggest import did_you_mean
from hoggin.errors import HogginError
from hoggin.fit.measured import Sample
from hoggin.models import catalog
from hoggin.schema.units import in_unit, known
from hoggin.syntax import tree
from hoggin.syntax.parser import parse
from hoggin.syntax.printer import printed
from hoggin.world import World, library_names, named

Given = Mapping[str, tuple[tree.Ident, tree.Expression]]


@dataclass(frozen=True)
class BaseClass:
    """A crusher class and the breakage model of it that is to be fitted.

    `coefficients` holds, in the model's units, one number a sample. `words` are the choices in
    force (chamber, duty): where a coefficient is written `by` one, that branch is fitted.
    """

    name: str
    entity: ClassEntity
    definition: tree.ModelDefinition
    model: catalog.Model
    facts: Mapping[str, tree.Fact]
    coefficients: Mapping[str, tuple[float, ...]]
    css_mm: tuple[float, ...]
    words: Mapping[str, str]


def find_class(name: str) -> ClassEntity:
    """A crusher class by `std.cones.high_speed`, or by `ours.hog:high_speed` in a user's file.

    Raises HogginError where there is none, or where it has no setting `css` to fit to.
    """
    file, colon, short = name.rpartition(":")
    found = names_in_file(Path(file)) if colon else _of_library(name.rpartition(".")[0])
    short = short if colon else name.rpartition(".")[2]
    entity = found.get(short)
    if not isinstance(entity, ClassEntity):
        classes = [n for n, e in found.items() if isinstance(e, ClassEntity)]
        raise HogginError(f"unknown machine class `{name}`. {did_you_mean(short, classes)}")
    settings = {s.parameter.name.text for s in _settings(entity)}
    if entity.node.kind.text != "crusher" or "css" not in settings:
        raise HogginError(f"`{name}` is not a crusher with a setting `css`")
    return _by_itself(entity)


def _by_itself(entity: ClassEntity) -> ClassEntity:
    """A class whose own text says all that the class says: the fitted one is written from it."""
    said = lines_of(entity)
    for text in (entity.node.span.text, printed([written_out(entity)])):
        source = Source(entity.node.span.source.name, text)
        match parse(source, Diagnostics()).statements:
            case (tree.ClassDefinition() as node,):
                alone = ClassEntity(node, Scope())
                if node.of is None and lines_of(alone) == said:
                    return alone
    raise HogginError(f"`{entity.node.name.text}` can't be written out in one file")


def _of_library(name: str) -> Mapping[str, Entity]:
    if name not in set(library_names()):
        raise HogginError(
            f"`{name}` is not a library: name a class as std.cones.high_speed, or as "
            "FILE.hog:CLASS. " + did_you_mean(name, library_names())
        )
    return dict(load_library(name).classes)


def names_in_file(path: Path) -> Mapping[str, Entity]:
    """What a user's file declares. Raises HogginError where it can't be read."""
    session = Session(Diagnostics())
    try:
        with named(path):
            world = World(path)
            scope = Loader(world, session).load(world.open_main()).scope
    except RecursionError as fault:
        raise HogginError(f"`{path}` can't be read: run `hoggin check` on it") from fault
    if session.diagnostics.has_errors:
        raise HogginError(f"`{path}` has errors: run `hoggin check` on it")
    return scope.names


def parse_given(pairs: Sequence[str]) -> Given:
    """`css=32mm`, `chamber=fine` as names and expressions of the language.

    Raises HogginError for a pair that is not of that form.
    """
    given: dict[str, tuple[tree.Ident, tree.Expression]] = {}
    for pair in pairs:
        name, _, value = pair.partition("=")
        diagnostics = Diagnostics()
        statements = parse(Source("--set", f"let {name} = {value}\n"), diagnostics).statements
        match statements:
            case (tree.Let(name=ident, value=expression),) if not diagnostics.has_errors:
                given[ident.text] = (ident, expression)
            case _:
                raise HogginError(f"`{pair}` is not NAME=VALUE, as css=32mm or chamber=fine")
    return given


def apply_base(
    name: str,
    entity: ClassEntity,
    breakage: str | None,
    samples: Sequence[Sample],
    given: Given,
    diagnostics: Diagnostics,
) -> BaseClass:
    """Evaluate the class at each sample's css. Faults of values are reported.

    Raises HogginError where the class has no such breakage model.
    """
    definition = _definition(name, entity, breakage)
    model = catalog.find("breakage", definition.name.text)
    if model is None:
        raise HogginError(f"there is no breakage model `{definition.name.text}`")
    facts = {s.name.text: s for s in definition.body if isinstance(s, tree.Fact)}
    rows: list[list[float]] = []
    css_mm: list[float] = []
    words: dict[str, str] = {}
    for sample in samples:
        session = Session(diagnostics)
        scope = _bound(entity, sample, given, session)
        css_mm.append(_quantity_mm(scope.names.get("css")))
        for key, value in scope.names.items():
            if isinstance(value, ValueEntity) and isinstance(value.value, Word):
                words[key] = value.value.text
        known = ((one, facts.get(one.name)) for one in model.coefficients)
        rows.append([_value(one, fact, scope, session) for one, fact in known])
    names = [one.name for one in model.coefficients]
    numbers = dict(zip(names, zip(*rows, strict=True), strict=True))
    return BaseClass(name, entity, definition, model, facts, numbers, tuple(css_mm), words)


def _definition(name: str, entity: ClassEntity, breakage: str | None) -> tree.ModelDefinition:
    found = {
        statement.name.text: statement
        for statement in entity.node.body
        if isinstance(statement, tree.ModelDefinition) and statement.role.text == "breakage"
    }
    if not found:
        raise HogginError(f"class `{name}` names no breakage model")
    wanted = breakage or next(iter(found))
    if wanted not in found:
        hint = did_you_mean(wanted, found)
        raise HogginError(f"class `{name}` has no breakage model `{wanted}`. {hint}")
    return found[wanted]


def _settings(entity: ClassEntity) -> list[tree.SettingDefinition]:
    return [s for s in entity.node.body if isinstance(s, tree.SettingDefinition)]


def _bound(entity: ClassEntity, sample: Sample, given: Given, session: Session) -> Scope:
    """The class's scope for a sample: what is neither given nor has a default stays unknown."""
    scope = entity.inside()
    values = dict(given)
    if sample.css_mm is not None:
        css = tree.Measure(sample.css_span, sample.css_mm, "mm")
        values["css"] = (tree.Ident(sample.css_span, "css"), css)
    parameters = [*entity.node.parameters, *(s.parameter for s in _settings(entity))]
    known = [p for p in parameters if p.name.text in values or p.default is not None]
    where = entity.node.name.span
    bind(known, values, scope, entity.scope, where, "setting", session)
    bind_unknown([p for p in parameters if p not in known], scope, session)
    for statement in entity.node.body:
        if isinstance(statement, tree.Let):
            declare(scope, statement.name, LetEntity(statement, scope.at(statement)), session)
    return scope


def _quantity_mm(entity: Entity | None) -> float:
    match entity:
        case ValueEntity(value=Quantity() as value):
            return value.in_trade_unit()
    return math.nan


def _value(
    coefficient: catalog.Coefficient, fact: tree.Fact | None, scope: Scope, session: Session
) -> float:
    """A coefficient in its model's unit; NaN where it depends on something unknown."""
    if fact is None or fact.value is None:
        return math.nan if coefficient.default is None else coefficient.default
    unit = known(coefficient.unit or "number")
    value = evaluate(fact.value, scope.at(fact), session)
    if not isinstance(value, Quantity):
        return math.nan
    if value.dimension != unit.dimension:
        what = f"`{coefficient.name}`"
        report_dimension(value, unit.dimension, what, fact.value.span, session)
        return math.nan
    return in_unit(value.si, unit)
