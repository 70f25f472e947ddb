"""What a file defines, each checked on its own: classes, templates, materials, gradings."""

from __future__ import annotations

from hoggin.check.classes import check_class
from hoggin.check.evaluate import evaluate
from hoggin.check.expand import Expander
from hoggin.check.gradings import band, named_grading, series
from hoggin.check.loader import Module
from hoggin.check.materials import material
from hoggin.check.plants import check_requirements
from hoggin.check.scope import (
    BandEntity,
    ClassEntity,
    Entity,
    GradingEntity,
    LetEntity,
    MaterialEntity,
    Scope,
    SeriesEntity,
    Session,
    TemplateEntity,
)
from hoggin.check.wiring import (
    check_joined,
    check_outlets,
    check_template_ports,
)
from hoggin.syntax import tree


def check_library(module: Module, session: Session) -> None:
    """Check everything a library defines, on its own."""
    for name, entity in module.scope.names.items():
        check_entity(name, entity, module.scope, session)


def check_entity(name: str, entity: Entity, scope: Scope, session: Session) -> None:
    """Check what a name of a file stands for, on its own."""
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
    check_requirements(network, session)
    check_outlets(network, session)
    if not network.damaged:
        check_template_ports(list(network.nodes.values()), network, session)
        check_joined(network, session, own_ports)
