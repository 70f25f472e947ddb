"""A plant's block as a checked plant."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from hoggin.check.aims import aims
from hoggin.check.cases import check_cases
from hoggin.check.choose import chosen
from hoggin.check.evaluate import text_of
from hoggin.check.expand import Expander
from hoggin.check.gradings import series, sizes
from hoggin.check.loader import Module
from hoggin.check.machines import place
from hoggin.check.materials import material
from hoggin.check.network import Network
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
    MaterialEntity,
    Scope,
    SeriesEntity,
    Session,
    once,
    resolve,
)
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
from hoggin.diagnostics.families.classes import E0401, E0402, E0403
from hoggin.diagnostics.families.gradings import E0602
from hoggin.diagnostics.families.routes import E0508
from hoggin.diagnostics.source import Span
from hoggin.schema.facts import facts_of
from hoggin.schema.measures import USUAL_ELONGATION
from hoggin.schema.plant import Machine, Material, Plant, Requirement
from hoggin.syntax import tree
from hoggin.syntax.cases import as_written


def check_plant(node: tree.PlantDefinition, module: Module, session: Session) -> Plant | None:
    """The plant of a file; None after a reported fault."""
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
    requirements = check_requirements(network, session)
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


def check_requirements(network: Network, session: Session) -> list[Requirement]:
    """The `require` lines of a plant or template."""
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
