"""The nodes of a tree around a place, from the outside in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from functools import cache
from typing import Any

from hoggin.syntax import tree


def nodes_at(file: tree.File, offset: int) -> list[tree.Node]:
    """Every node whose text an offset is in or just behind; of two that meet there, the later."""
    found: list[tree.Node] = []
    inner: tuple[tree.Node, ...] = file.statements
    while True:
        around = [n for n in inner if n.span.start <= offset <= n.span.end]
        if not around:
            return found
        found.append(around[-1])
        inner = tuple(children(around[-1]))


def children(node: tree.Node) -> Iterator[tree.Node]:
    """The nodes directly below a node, in the order of its fields."""
    kind: Any = type(node)
    for name in _names(kind):
        value = getattr(node, name)
        if isinstance(value, tree.Node):
            yield value
        elif isinstance(value, tuple):
            yield from (part for part in value if isinstance(part, tree.Node))


@cache
def _names(kind: type[Any]) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind) if field.name != "span")
