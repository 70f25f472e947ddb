"""Particle shape: what a feed states of it, and whether a product's can be known at all."""

from __future__ import annotations

from hoggin.check.gradings import size_mm
from hoggin.check.network import Network, Node
from hoggin.check.scope import Scope, Session
from hoggin.check.stated import number
from hoggin.diagnostics.families.classes import E0402, E0403
from hoggin.diagnostics.families.gradings import E0601
from hoggin.diagnostics.families.models import E0408
from hoggin.diagnostics.families.names import E0202
from hoggin.diagnostics.source import Span
from hoggin.schema.facts import facts_of
from hoggin.schema.kinds import KINDS
from hoggin.schema.measures import USUAL_ELONGATION, Measure
from hoggin.syntax import tree

Points = tuple[tuple[float, float], ...]

_ALL_SIZES_MM = 1.0  # a single point holds for all sizes, wherever it is


def stated_share(fact: tree.Fact, measure: Measure, scope: Scope, session: Session) -> Points:
    """A feed's share of a shape as (size mm, fraction), coarse to fine; one point holds for all.

    Empty after a reported fault, NaN where a value is not known yet.
    """
    if fact.value is not None:
        share = _share(fact.value, measure, scope, session)
        return () if share is None else ((_ALL_SIZES_MM, share),)
    points: dict[float, float] = {}
    whole = bool(fact.entries)
    if not whole:
        session.report(E0403.no_share(measure.name), fact.span)
    for entry in fact.entries or ():
        size = size_mm(entry.key, scope, session)
        share = None
        if entry.value is None or entry.upper is not None:
            session.report(E0601.one_share(measure.words, measure.name), entry.span)
        else:
            share = _share(entry.value, measure, scope, session)
        if size is None or share is None:
            whole = False
        elif size in points:
            session.report(E0202.size(), entry.span)
            whole = False
        else:
            points[size] = share
    return tuple(sorted(points.items(), reverse=True)) if whole else ()


def _share(
    value: tree.Expression, measure: Measure, scope: Scope, session: Session
) -> float | None:
    """NaN where it is not known yet, None after a reported fault."""
    fact = facts_of("feed")[measure.name]
    found = number(fact, value, scope, session, unknown=True)
    return None if found is None else found.in_trade_unit()


def require_known_shape(
    network: Network, tag: str, measure: Measure, asked: str, span: Span, session: Session
) -> None:
    """Report what keeps a measure of what runs into `tag` from being known, if anything does: a
    feed before it that states none, a crusher before it whose class has no model for it."""
    upstream = network.upstream([tag])
    before = [node for node in network.nodes.values() if node.tag in upstream]
    silent = [node.tag for node in before if _silent(node, measure)]
    if silent:
        session.report(
            E0402.shape_of_feed(
                asked, _named("feed", silent), measure.words, measure.name, measure.standard
            ),
            span,
        )
    shapeless = [node.tag for node in before if _shapeless(node, measure)]
    if shapeless:
        session.report(
            E0408.shape(asked, _named("crusher", shapeless), measure.name, measure.sample), span
        )
    ratio = network.elongation_ratio
    machines = [n.machine for n in before if n.machine and measure.name in n.machine.models]
    other = [one.tag for one in machines if not measure.known_of(one, ratio)]
    if other:
        crushers = _named("crusher", other)
        session.report(E0408.other_ratio(asked, ratio, crushers, USUAL_ELONGATION), span)


def _silent(node: Node, measure: Measure) -> bool:
    return node.feed is not None and measure.stated_by(node.feed) is None


def _shapeless(node: Node, measure: Measure) -> bool:
    machine = node.machine  # without any model its class is at fault, which has been reported
    return (
        machine is not None
        and KINDS[machine.kind].breaks
        and machine.models != {}
        and (measure.name not in machine.models)
    )


def _named(word: str, tags: list[str]) -> str:
    listed = ", ".join(f"`{tag}`" for tag in tags)
    return f"{word} {listed}" if len(tags) == 1 else f"each of the {word}s {listed}"
