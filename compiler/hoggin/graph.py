"""Directed graphs as nodes with their successors: circles, the order of flow, what is reached."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Generic, TypeVar

Node = TypeVar("Node")


def flow_order(successors: Mapping[Node, Sequence[Node]]) -> list[tuple[Node, ...]]:
    """Strongly connected components in the order in which material reaches them, and the members
    of each likewise, as one reads who walks a plant from its feeds.

    The walk starts at the first node, and again at the next one that it has not come to, and so
    on; what follows a node's first successor comes before what follows its second. No edge between
    two components runs backwards. A circle starts at the member that is met first; an edge that
    runs backwards within it leads to a node from which its own start is reached.
    """
    walk = _walk(successors, successors)
    met = {node: place for place, node in enumerate(walk.met)}
    rank = _ranks(walk.starts, successors)
    components = sorted(
        strongly_connected(successors), key=lambda members: min(map(rank.__getitem__, members))
    )
    return [_from_first_met(members, met, successors) for members in components]


def _from_first_met(
    members: tuple[Node, ...], met: Mapping[Node, int], successors: Mapping[Node, Sequence[Node]]
) -> tuple[Node, ...]:
    if len(members) == 1:
        return members
    inside = set(members)
    inner = {node: [s for s in successors[node] if s in inside] for node in members}
    rank = _ranks([min(members, key=met.__getitem__)], inner)
    return tuple(sorted(members, key=rank.__getitem__))


def _ranks(starts: Iterable[Node], successors: Mapping[Node, Sequence[Node]]) -> dict[Node, int]:
    """Places of nodes in the reverse of the order in which a walk leaves them. The walk takes the
    last start and the last successor first, so that what follows the first comes first."""
    turned = {node: following[::-1] for node, following in successors.items()}
    left = _walk([*starts][::-1], turned).left
    return {node: place for place, node in enumerate(reversed(left))}


@dataclass(frozen=True, slots=True)
class _Walk(Generic[Node]):
    """A depth-first walk: the nodes it starts at, and all nodes as it meets and leaves them."""

    starts: list[Node]
    met: list[Node]
    left: list[Node]


def _walk(starts: Iterable[Node], successors: Mapping[Node, Sequence[Node]]) -> _Walk[Node]:
    met: dict[Node, None] = {}
    begun: list[Node] = []
    left: list[Node] = []
    for start in starts:
        if start in met:
            continue
        begun.append(start)
        met[start] = None
        path = [(start, iter(successors[start]))]
        while path:
            node, rest = path[-1]
            following = next((s for s in rest if s not in met), None)
            if following is None:
                path.pop()
                left.append(node)
            else:
                met[following] = None
                path.append((following, iter(successors[following])))
    return _Walk(begun, list(met), left)


def reached(starts: Iterable[Node], successors: Mapping[Node, Iterable[Node]]) -> set[Node]:
    """The starts and all that follows from them. A node without successors may be left out."""
    seen = set(starts)
    waiting = list(seen)
    while waiting:
        fresh = set(successors.get(waiting.pop(), ())) - seen
        seen |= fresh
        waiting += fresh
    return seen


def strongly_connected(successors: Mapping[Node, Sequence[Node]]) -> list[tuple[Node, ...]]:
    """Strongly connected components in topological order.

    Source: Sharir (1981), Comput. Math. Appl. 7(1), 67-72, from memory: nodes are taken in the
    reverse of the order in which a walk leaves them; what a walk against the edges then newly
    meets is one component.
    """
    against: dict[Node, list[Node]] = {node: [] for node in successors}
    for node, following in successors.items():
        for successor in following:
            against[successor].append(node)
    walk = _walk(reversed(_walk(successors, successors).left), against)
    place = {node: at for at, node in enumerate(walk.met)}
    cuts = [*(place[start] for start in walk.starts), len(place)]
    return [tuple(walk.met[first:end]) for first, end in pairwise(cuts)]
