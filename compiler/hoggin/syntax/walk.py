"""Ways through a tree, whatever its nodes are."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any, TypeVar

from hoggin.syntax import tree

AnyNode = TypeVar("AnyNode", bound=tree.Node)


def children(node: tree.Node) -> Iterator[tree.Node]:
    """The nodes directly below a node, in the order of its fields."""
    for name in _parts(node):
        value = getattr(node, name)
        if isinstance(value, tree.Node):
            yield value
        elif isinstance(value, tuple):
            yield from value


def below(node: tree.Node) -> Iterator[tree.Node]:
    """A node and every node below it, from the outside in."""
    left = [node]
    while left:
        one = left.pop()
        yield one
        left += reversed([*children(one)])


def paths(node: tree.Node) -> Iterator[tree.Path]:
    """Every dotted name in a node."""
    return (one for one in below(node) if isinstance(one, tree.Path))


def mapped(node: AnyNode, change: Callable[[Any], Any]) -> AnyNode:
    """The tree with every node changed, from the inside out."""

    def within(part: Any) -> Any:
        if isinstance(part, tuple):
            return tuple(map(within, part))
        return mapped(part, change) if isinstance(part, tree.Node) else part

    parts = {name: within(getattr(node, name)) for name in _parts(node)}
    changed: AnyNode = change(replace(node, **parts))
    return changed


def unit_of(kind: tree.UnitType | tree.Range | tree.ClassType) -> str:
    """The unit that a parameter's type names: of a range, that of its first quantity; "number"
    where it holds numbers alone, "" where it holds only names."""
    if isinstance(kind, tree.UnitType):
        return kind.unit
    parts = list(below(kind))
    units = (part.unit for part in parts if isinstance(part, tree.Measure))
    bare = any(isinstance(part, tree.Number) for part in parts)
    return next(units, "number" if bare else "")


def nodes_at(file: tree.File, offset: int) -> list[tree.Node]:
    """Every node whose text an offset is in or just behind, from the outside in; of two that meet
    there, the later."""
    found: list[tree.Node] = []
    inner: tuple[tree.Node, ...] = file.statements
    while True:
        around = [n for n in inner if n.span.start <= offset <= n.span.end]
        if not around:
            return found
        found.append(around[-1])
        inner = tuple(children(around[-1]))


def same(one: object, other: object) -> bool:
    """Whether two trees say the same, wherever they are."""
    if isinstance(one, tuple) and isinstance(other, tuple):
        return len(one) == len(other) and all(map(same, one, other))
    if not (isinstance(one, tree.Node) and isinstance(other, tree.Node)):
        return one == other
    return type(other) is type(one) and all(
        same(getattr(one, name), getattr(other, name)) for name in _parts(one)
    )


def _parts(node: Any) -> tuple[str, ...]:
    """The names of a node's fields, but for the `span` that every node has first."""
    parts: tuple[str, ...] = node.__match_args__[1:]
    return parts
