"""The check phase from end to end: a file's path in, a checked plant and every fault out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from hoggin.check.aims import aims
from hoggin.check.cases import across_cases, check_cases, in_order, reading, with_cases
from hoggin.check.choose import across_options, chosen
from hoggin.check.classes import check_class
from hoggin.check.evaluate import evaluate, text_of
from hoggin.check.expand import Expander
from hoggin.check.gradings import band, named_grading, series, sizes
from hoggin.check.loader import Loader, Module, Read
from hoggin.check.machines import place
from hoggin.check.materials import material
from hoggin.check.network import Network
from hoggin.check.open_numbers import open_numbers
from hoggin.check.operation import (
    belongs_in_operation,
    check_campaigns,
    check_operation,
    days_per_week,
    operation_lines,
    shifts,
)
from hoggin.check.plant_facts import (
    RunningHours,
    history,
    plant_availability,
    plant_number,
    project,
)
from hoggin.check.plugin_checks import plugin_checks
from hoggin.check.prices import check_prices, currency, prices
from hoggin.check.records import class_records, lines_of, own_name, shown_name, told_apart
from hoggin.check.requirements import RequirementChecker, ordered
from hoggin.check.scope import (
    BandEntity,
    ClassEntity,
    Entity,
    GradingEntity,
    LetEntity,
    MaterialEntity,
    ModuleEntity,
    Names,
    Scope,
    SeriesEntity,
    Session,
    TemplateEntity,
    ValueEntity,
    once,
    resolve,
)
from hoggin.check.sizes import Sizes
from hoggin.check.wiring import (
    check_joined,
    check_outlets,
    check_template_ports,
    check_ways_out,
    in_order_of_flow,
    route_places,
    streams,
)
from hoggin.check.written import written_units
from hoggin.diagnostics.diagnostic import Diagnostic, Diagnostics
from hoggin.diagnostics.families.classes import E0401, E0402, E0403
from hoggin.diagnostics.families.gradings import E0602
from hoggin.diagnostics.families.names import E0206
from hoggin.diagnostics.families.routes import E0508
from hoggin.diagnostics.families.text import E0106
from hoggin.diagnostics.families.unused import W0101
from hoggin.diagnostics.source import Source, Span
from hoggin.diagnostics.suggest import did_you_mean
from hoggin.errors import HogginError, SourceError
from hoggin.schema.facts import facts_of
from hoggin.schema.measures import USUAL_ELONGATION
from hoggin.schema.plant import Machine, Material, Plant, Requirement
from hoggin.schema.tracing import Alternatives, Freedom, Place, gathered
from hoggin.syntax import tree
from hoggin.syntax.cases import as_written
from hoggin.syntax.parser import parse
from hoggin.world import World


@dataclass(frozen=True)
class Checked:
    """What checking gives. `plant` is None for a library, or where there are errors."""

    plant: Plant | None
    diagnostics: tuple[Diagnostic, ...]
    source: Source
    sources: Mapping[str, Source]  # every file that was read, by its shown name
    freedom: Freedom = field(default_factory=Freedom)  # what the plant leaves open
    routes: Mapping[str, tuple[Span, ...]] = field(default_factory=dict)  # by the stream's name
    names: Names = field(default_factory=Names)  # where they were asked for
    cases: Mapping[str, Checked] = field(default_factory=dict)  # the plant's, as plants
    whole: Checked | None = None  # the plant as it is written, where this is one of its cases
    sizes: Sizes | None = None  # that the classes of its machines come in

    @property
    def has_errors(self) -> bool:
        return any(diagnostic.is_error for diagnostic in self.diagnostics)

    def in_case(self, name: str = "") -> Checked:
        """A plant without errors, in one of its cases where one is named.

        Raises SourceError for errors, HogginError for a library and for a case that is not there.
        """
        if self.has_errors:
            raise SourceError(self.diagnostics)
        if self.plant is None:
            raise HogginError(f"`{self.source.name}` is a library and has no plant")
        if not name:
            return self
        if name not in self.cases:
            known = did_you_mean(name, self.cases) or "it states no cases"
            raise HogginError(f"the plant has no case `{name}`: {known}")
        return replace(self.cases[name], whole=self)

    @property
    def states(self) -> tuple[Checked, ...]:
        """The plant as it is written, then its cases, by name."""
        whole = self.whole or self
        return (whole, *(whole.in_case(name) for name in sorted(whole.cases)))


@dataclass(frozen=True)
class _Once:
    """One reading of a source: the plant's own node, and the cases that can be put on it."""

    checked: Checked
    node: tree.PlantDefinition | None
    cases: Mapping[str, tree.Case]
    settled: Mapping[Place, Alternatives]


def check_file(path: Path) -> Checked:
    """Check a plant or library file and all it uses.

    Raises UnreadableError where the file itself can't be read; faults in it come as diagnostics.
    """
    world = World(path)
    return check(world, world.open_main())


def check(
    world: World,
    source: Source,
    read: Read = parse,
    picks: Mapping[Place, int] | None = None,
    *,
    naming: bool = False,
) -> Checked:
    """Check one source of a world.

    read: makes the trees. picks: which option of a free choice, by where it is. Where none are
    given, every option of every `choose` is checked, the others at their first. naming: whether
    to say what the names of the source stand for, those of lines that no plant needs among them.
    """
    names = Names()
    once_read = _checked_once(world, source, read, picks or {}, names, naming=naming)
    first = once_read.checked
    if picks is not None:
        return first

    def of_pick(place: Place, option: int) -> tuple[Diagnostic, ...]:
        return _checked_once(world, source, read, {place: option}, names).checked.diagnostics

    # What a name stands for is the same in a case; what it stands at is not.
    named = Names(names.uses)

    def of_case(name: str) -> Checked:
        read_case = reading(read, source.name, name)
        return _checked_once(world, source, read_case, {}, named, case=name).checked

    options = {**first.freedom.alternatives, **once_read.settled}
    found = across_options(first.diagnostics, options, of_pick)
    cases = {name: of_case(name) for name in once_read.cases}
    found = across_cases(found, {name: one.diagnostics for name, one in cases.items()})
    plants = {name: one.plant for name, one in cases.items() if one.plant is not None}
    plant = first.plant
    if plant is not None and once_read.node is not None and len(plants) == len(cases) > 0:
        plant, warnings = with_cases(plant, once_read.node, plants)
        found = (*found, *warnings)
    found = in_order(found) if cases else found
    errors = any(diagnostic.is_error for diagnostic in found)
    return replace(
        first,
        plant=None if errors else plant,
        diagnostics=found,
        cases={n: replace(one, diagnostics=found) for n, one in cases.items() if not errors},
    )


def _checked_once(
    world: World,
    source: Source,
    read: Read,
    picks: Mapping[Place, int],
    names: Names,
    *,
    naming: bool = False,
    case: str = "",
) -> _Once:
    session = Session(Diagnostics(), picks=picks, names=names)
    plant: Plant | None = None
    node: tree.PlantDefinition | None = None
    try:
        module = Loader(world, session, read).load(source)
        node = module.plants[0] if module.plants else None
        plant = _check_module(module, session)
        if naming:
            unheard = Session(Diagnostics(), session.lost_names, names=names)
            unheard.overflowed = session.overflowed
            _check_library(module, unheard)
    except RecursionError:
        session.report(E0106.chain(), Span(source, 0, 0))
    found = tuple(session.diagnostics)
    errors = any(diagnostic.is_error for diagnostic in found)
    freedom = gathered(session.traces, session.order)
    if plant is not None:
        texts = {**world.sources, source.name: source}
        plant = plant.model_copy(update={"open": open_numbers(freedom, texts)}).called(case)
    checked = Checked(
        None if errors else plant,
        found,
        source,
        world.sources,
        freedom,
        session.routes,
        names if naming else Names(),
        sizes=Sizes(session),
    )
    return _Once(checked, node, session.cases, session.settled)


def _check_module(module: Module, session: Session) -> Plant | None:
    if not module.plants:
        _check_library(module, session)
        return None
    if len(module.plants) > 1:
        session.report(E0206.second(), module.plants[1].title.span)
    plant = _check_plant(module.plants[0], module, session)
    _check_unused(module, session)
    return plant


def _check_library(module: Module, session: Session) -> None:
    """Check everything a library defines, on its own."""
    for name, entity in module.scope.names.items():
        _check_entity(name, entity, module.scope, session)


def _check_entity(name: str, entity: Entity, scope: Scope, session: Session) -> None:
    match entity:
        case ClassEntity():
            check_class(entity, session)
        case TemplateEntity():
            _check_template(entity, session)
        case MaterialEntity():
            material(entity, name, session)
        case BandEntity():
            band(entity, name, entity.scope, session)
        case GradingEntity():
            named_grading(entity, session)
        case SeriesEntity():
            series(entity, session)
        case LetEntity(node=node):
            evaluate(tree.Path(node.name.span, (node.name,)), scope, session)


def _check_template(entity: TemplateEntity, session: Session) -> None:
    if session.overflowed:
        return
    expander = Expander(session)
    expander.network.damaged = bool(session.lost_names)
    own_ports = expander.check_template(entity)
    network = expander.network
    _check_requirements(network, session)
    check_outlets(network, session)
    if not network.damaged:
        check_template_ports(list(network.nodes.values()), network, session)
        check_joined(network, session, own_ports)


def _check_plant(node: tree.PlantDefinition, module: Module, session: Session) -> Plant | None:
    scope = Scope(module.scope)
    expander = Expander(session)
    network = expander.network
    network.damaged = bool(session.lost_names)
    with_its_cases = node
    node = replace(node, body=chosen(as_written(node.body), session))
    money = currency(node, session)
    session.hours_of_year = RunningHours(node, scope, session)
    body = expander.body(node.body, "", scope, "in a plant")
    check_cases(with_its_cases, body, scope, session)
    revision, sieves = _plant_facts(node, scope, session)
    hours = plant_number(node, "hours_per_year", scope, session)
    available = plant_availability(node, scope, session)
    elongation = plant_number(node, "elongation_ratio", scope, session)
    shifts_run, days = shifts(node, scope, session), days_per_week(node, scope, session)
    revisions = history(node, revision, scope, session)
    stated_project = project(node, scope, session)
    asked_checks = plugin_checks(node, session)
    rocks, materials = _materials(expander.materials, session)
    if not any(n.kind == "feed" for n in network.nodes.values()) and not network.damaged:
        session.report(E0508.missing(), node.title.span)
    _check_wiring(network, session)
    check_campaigns(network, session)
    network.elongation_ratio = elongation or USUAL_ELONGATION
    requirements = _check_requirements(network, session)
    aimed = aims(node, RequirementChecker(network, body, scope, session), money)
    stated_prices = prices(node, scope, session)
    check_prices(node, money, session)
    if session.diagnostics.has_errors or sieves is None:
        return None
    network.nodes = in_order_of_flow(network)
    session.routes = route_places(network)
    session.order = {tag: place for place, tag in enumerate(network.nodes)}
    nodes = network.nodes.values()
    classes, records = class_records(session.classes)
    plant = Plant(
        title=node.title.text,
        revision=revision,
        project=stated_project,
        sieves_mm=sieves,
        materials=materials,
        feeds=tuple(
            n.feed.model_copy(update={"material": rocks[n.tag]})
            for n in nodes
            if n.feed is not None
        ),
        machines=tuple(_of_class(n.machine, classes) for n in nodes if n.machine is not None),
        streams=streams(network),
        products=tuple(n.product for n in nodes if n.product is not None),
        requirements=ordered(requirements, network.nodes),
        place=place(node.title.span),
        hours_per_year=hours,
        availability=1.0 if available is None else available,
        classes=records,
        edition=session.editions.get(module.file.source.name),
        revisions=revisions,
        currency=money,
        prices=stated_prices,
        elongation_ratio=elongation,
        aims=aimed,
        shifts=shifts_run,
        days_per_week=days,
        units=written_units(node, money, session),
        checks=asked_checks,
    )
    check_operation(node, plant, session)
    return plant


def _materials(
    stated: Mapping[str, MaterialEntity], session: Session
) -> tuple[dict[str, str], dict[str, Material]]:
    """What the rock of each feed is called, by the feed's tag, and the materials by name."""
    names = told_apart(
        {
            tag: (shown_name(own_name(entity)), tuple(lines_of(entity).items()))
            for tag, entity in stated.items()
        }
    )
    entities = {names[tag]: entity for tag, entity in stated.items()}
    found: dict[str, Material | None] = {}
    for name in sorted(entities):
        with session.traces.of(name):
            found[name] = material(entities[name], name, session)
    return names, {name: rock for name, rock in found.items() if rock is not None}


def _of_class(machine: Machine, classes: Mapping[str, str]) -> Machine:
    path = classes.get(machine.tag)
    if path is None:
        return machine
    return machine.model_copy(update={"class_path": path, "class_name": shown_name(path)})


def _check_requirements(network: Network, session: Session) -> list[Requirement]:
    return [
        found
        for line, body, scope in network.requirements
        for found in RequirementChecker(network, body, scope, session).check(line)
    ]


def _check_wiring(network: Network, session: Session) -> None:
    check_outlets(network, session)
    if network.damaged or network.overflowed:
        return
    check_template_ports(list(network.nodes.values()), network, session)
    before = session.diagnostics.count
    check_joined(network, session)
    if session.diagnostics.count == before:
        check_ways_out(network, session)


def _plant_facts(
    node: tree.PlantDefinition, scope: Scope, session: Session
) -> tuple[str, tuple[float, ...] | None]:
    """The plant's own lines: revision and reporting sieves."""
    revision = ""
    sieves: tuple[float, ...] | None = None
    stated = False
    first: dict[str, Span] = {}
    operation_lines(node.body, "plant", session)
    for statement in node.body:
        if not isinstance(statement, tree.Fact):
            continue
        name = statement.name.text
        once(first, statement.name, session)
        if name == "revision" and statement.value is not None:
            marked = isinstance(statement.value, tree.Number)  # `revision 3` will do
            text = None if marked else text_of(statement.value, "revision", scope, session)
            revision = statement.value.span.text if text is None else text
        elif name == "sieves":
            stated = True
            sieves = _sieves(statement, scope, session)
        elif isinstance(statement.name, tree.DottedIdent):
            session.report(E0403.away(name, name.rpartition(".")[0]), statement.name.span)
        elif name not in facts_of("plant") and not belongs_in_operation(
            statement, "plant", session
        ):
            session.report(E0403.unknown("a plant", name, facts_of("plant")), statement.name.span)
    if not stated and "sieves" not in session.lost_names:
        session.report(E0402.sieves(), node.title.span)
    return revision, sieves


def _sieves(fact: tree.Fact, scope: Scope, session: Session) -> tuple[float, ...] | None:
    if fact.entries is not None:
        return sizes(fact.entries, fact.name.span, scope, session)
    if not isinstance(fact.value, tree.Path):
        return session.report(E0602.not_sieves(), fact.span)
    entity = resolve(fact.value, scope, session)
    if isinstance(entity, SeriesEntity):
        return series(entity, session)
    if entity is not None:
        session.report(E0401.not_a_series(fact.value.dotted), fact.value.span)
    return None


def _check_unused(module: Module, session: Session) -> None:
    """W0101: names of the plant's own file that nothing uses. What a library offers is its own
    affair. What is unused is checked all the same; where lines were lost, they may have used it,
    and where a name was misspelt, it is reported already."""
    names = module.scope.names.items()
    unused = [(n, e) for n, e in names if id(e) not in session.used]
    for name, entity in unused:
        _check_entity(name, entity, module.scope, session)
    meant = {d.help for d in session.diagnostics if d.code == "E0201"}
    for name, entity in () if session.lost_names else unused:
        if isinstance(entity, ValueEntity) or any(_names(hint, name) for hint in meant):
            continue
        library = isinstance(entity, ModuleEntity)
        fault = W0101.library(name) if library else W0101.name(entity.word, name)
        session.report(fault, entity.span)


def _names(hint: str, name: str) -> bool:
    """Whether a hint proposes a name, or something of a library of that name."""
    return hint.startswith((f"did you mean `{name}`", f"did you mean `{name}."))
