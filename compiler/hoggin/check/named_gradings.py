"""Gradings with a name: what a file's `grading NAME { ... }` says, and the feed that calls it."""

from __future__ import annotations

from hoggin.check.evaluate import evaluate
from hoggin.check.gradings import grading
from hoggin.check.loader import misplaced
from hoggin.check.scope import GradingEntity, Scope, Session, once, resolve
from hoggin.check.values import String
from hoggin.diagnostics.families.classes import E0401, E0403
from hoggin.diagnostics.families.gradings import E0601
from hoggin.diagnostics.source import Span
from hoggin.schema.facts import facts_of
from hoggin.syntax import tree

Points = tuple[tuple[float, float], ...]

_TEXTS = ("about", "source")


def stated_grading(
    statement: tree.Definition | tree.Fact, scope: Scope, session: Session
) -> Points | None:
    """A feed's grading, its own or one that it calls by a name; None after a reported fault."""
    if isinstance(statement, tree.Fact):
        return grading(statement, scope, session)
    path = statement.path
    entity = resolve(path, scope, session)
    if isinstance(entity, GradingEntity):
        return named_grading(entity, session)
    if entity is not None:
        session.report(E0401.not_a_grading(path.dotted), path.span)
    return None


def named_grading(entity: GradingEntity, session: Session) -> Points | None:
    """Its points as (size mm, fraction passing), coarse to fine, starting at 100 %.

    None after a reported fault.
    """
    points: Points | None = None
    first: dict[str, Span] = {}
    for statement in entity.node.body or ():
        if not isinstance(statement, tree.Fact):
            misplaced(statement, "in a grading", session)
            continue
        name, value = statement.name.text, statement.value
        once(first, statement.name, session)
        if name == "passing":
            points = grading(statement, entity.scope, session)
        elif name in _TEXTS and value is not None:
            _check_text(name, value, entity.scope, session)
        else:
            session.report(
                E0403.unknown("a grading", name, facts_of("grading")), statement.name.span
            )
    if "passing" not in first:
        session.report(E0601.grading_without_passing(entity.node.name.text), entity.node.name.span)
    return points


def _check_text(name: str, value: tree.Expression, scope: Scope, session: Session) -> None:
    if not isinstance(evaluate(value, scope, session), String):
        session.report(E0401.not_a_text(name), value.span)
