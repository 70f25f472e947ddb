"""Parameters of a template that stand for a class: `template line(cone: class crusher)`."""

from __future__ import annotations

from collections.abc import Iterable

from hoggin.check.scope import (
    ClassEntity,
    ClassParameterEntity,
    Scope,
    Session,
    mention,
    resolve,
)
from hoggin.diagnostics.families.extending import E0411
from hoggin.schema.kinds import KINDS
from hoggin.syntax import tree


def class_parameter(
    parameter: tree.Parameter,
    kind: tree.ClassType,
    given: tree.Expression | None,
    scope: Scope,
    session: Session,
) -> ClassParameterEntity:
    """What a parameter stands for. `given`: the class's name, looked up in `scope`; None where it
    is unknown."""
    word = kind.kind.text
    if word not in KINDS or not KINDS[word].has_class:
        named = (name for name, one in KINDS.items() if one.has_class)
        session.report(E0411.no_classes(word, named), kind.span)
        if given is not None:
            mention(given, scope, session)
        return ClassParameterEntity(parameter.name, word, None)
    found = _class(parameter.name.text, word, given, scope, session)
    return ClassParameterEntity(parameter.name, word, found)


def refuse_class_parameters(node: tree.ClassDefinition, session: Session) -> None:
    """Report parameters and settings of a class that would stand for classes."""
    settings = (s.parameter for s in node.body if isinstance(s, tree.SettingDefinition))
    parameters: Iterable[tree.Parameter] = (*node.parameters, *settings)
    for parameter in parameters:
        if isinstance(parameter.type, tree.ClassType):
            session.report(E0411.in_a_class(), parameter.type.span)


def _class(
    name: str, kind: str, given: tree.Expression | None, scope: Scope, session: Session
) -> ClassEntity | None:
    if given is None:
        return None
    if not isinstance(given, tree.Path):
        mention(given, scope, session)
        return session.report(E0411.not_a_class(name, kind, given.span.text), given.span)
    found = resolve(given, scope, session)
    match found:
        case None:
            return None
        case ClassEntity(node=node):
            own = node.kind.text
        case ClassParameterEntity(kind=own):
            pass
        case _:
            return session.report(E0411.not_a_class(name, kind, given.dotted), given.span)
    if own != kind:
        return session.report(E0411.other_kind(name, kind, given.dotted, own), given.span)
    return found.stands_for if isinstance(found, ClassParameterEntity) else found
