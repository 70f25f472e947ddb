"""Flakiness: what a feed states of it, and whether a product's can be known at all."""

from __future__ import annotations

from hoggin.check.evaluate import quantity
from hoggin.check.gradings import size_mm
from hoggin.check.network import Network, Node
from hoggin.check.scope import Scope, Session
from hoggin.check.units import NUMBER
from hoggin.diagnostics.source import Span
from hoggin.syntax import tree

Points = tuple[tuple[float, float], ...]

_ALL_SIZES_MM = 1.0  # a single point holds for all sizes, wherever it stands
_HOW = "write `flakiness 20 %`, or by size `flakiness { 31.5 mm: 25 %  8 mm: 18 % }`"


def flakiness(fact: tree.Fact, scope: Scope, session: Session) -> Points:
    """A feed's flaky share as (size mm, fraction), coarse to fine; one point holds for all sizes.

    Empty after a reported fault, NaN where a value is not known yet.
    """
    if fact.value is not None:
        share = _share(fact.value, scope, session)
        return () if share is None else ((_ALL_SIZES_MM, share),)
    points: dict[float, float] = {}
    whole = bool(fact.entries)
    if not whole:
        session.diagnostics.report("E0403", fact.span, "`flakiness` says nothing", _HOW)
    for entry in fact.entries or ():
        size = size_mm(entry.key, scope, session)
        share = None
        if entry.value is None or entry.upper is not None:
            session.diagnostics.report(
                "E0601", entry.span, "flakiness is one share for each size", _HOW
            )
        else:
            share = _share(entry.value, scope, session)
        if size is None or share is None:
            whole = False
        elif size in points:
            session.diagnostics.report("E0202", entry.span, "this size stands twice")
            whole = False
        else:
            points[size] = share
    return tuple(sorted(points.items(), reverse=True)) if whole else ()


def _share(value: tree.Expression, scope: Scope, session: Session) -> float | None:
    found = quantity(value, NUMBER, "`flakiness`", scope, session)
    if found is None:
        return None
    if found.known and not 0.0 <= found.si <= 1.0:
        session.diagnostics.report(
            "E0306", value.span, "a flaky share lies between 0 % and 100 %", _HOW
        )
        return None
    return found.in_trade_unit()


def require_known_shape(
    network: Network, tag: str, asked: str, span: Span, session: Session
) -> None:
    """Report what keeps the flakiness of what runs into `tag` from being known, if anything does:
    a feed before it that states none, a crusher before it whose class has no shape model."""
    before = _upstream(network, tag)
    silent = [node.tag for node in before if node.feed is not None and node.feed.flakiness is None]
    if silent:
        session.diagnostics.report(
            "E0402",
            span,
            f"`{asked}` can't be known: {_named('feed', silent)} states no flakiness",
            "add `flakiness 20 %` to the feed, from a test of the rock (EN 933-3)",
        )
    shapeless = [node.tag for node in before if _shapeless(node)]
    if shapeless:
        session.diagnostics.report(
            "E0408",
            span,
            f"`{asked}` can't be known: the class of {_named('crusher', shapeless)} names no "
            "shape model",
            "add `model shape: near_setting { css css; best 15 % }` to the class",
        )


def _shapeless(node: Node) -> bool:
    machine = node.machine  # without any model its class is at fault, which has been reported
    return (
        machine is not None
        and machine.kind == "crusher"
        and machine.models != {}
        and ("shape" not in machine.models)
    )


def _named(word: str, tags: list[str]) -> str:
    listed = ", ".join(f"`{tag}`" for tag in tags)
    return f"{word} {listed}" if len(tags) == 1 else f"each of the {word}s {listed}"


def _upstream(network: Network, tag: str) -> list[Node]:
    """Everything whose rock can run into `tag`, in the order declared."""
    into: dict[str, list[Node]] = {}
    for link in network.links:
        into.setdefault(link.target.tag, []).append(link.source)
    reached = {tag}
    todo = [tag]
    while todo:
        for source in into.get(todo.pop(), ()):
            if source.tag not in reached:
                reached.add(source.tag)
                todo.append(source.tag)
    return [node for node in network.nodes.values() if node.tag in reached]
