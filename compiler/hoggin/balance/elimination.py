"""Sparse elimination of machines that do not break, for all cases and size classes at once.

The unknowns are machine feeds x. Machine u hands the fraction w[u, v] of its feed to machine v,
class by class, so x_v = a_v + sum over u of w[u, v] x_u. Taking node k out replaces each way
through it by a direct one: w[s, t] += w[s, k] w[k, t] / (1 - w[k, k]). This is Gaussian
elimination in the order of least fill (Markowitz 1957, Management Science 3(3), 255-269); the
order depends on the flowsheet alone, so it is planned once. No pivot search is needed: columns
sum to at most 1 and entries are not negative, so I - W is an M-matrix and every pivot is positive
unless material is trapped.
"""

from __future__ import annotations

import heapq
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from hoggin.balance.result import Array

TRAPPED = 1e-7
"""A pivot below this means material passes ten million times before it leaves: it is trapped."""

_NOTHING_LEAVES = 1e-12  # at rounding: the pivot is taken as 1 and material there is not returned

_ZERO = np.zeros((1, 1))
_Key = TypeVar("_Key")

Weights = dict[tuple[int, int], Array]


@dataclass(frozen=True, slots=True)
class Step:
    """Take out `node`, fed by `sources` and feeding `targets`; `returns` when it feeds itself."""

    node: int
    sources: tuple[int, ...]
    targets: tuple[int, ...]
    returns: bool


def plan(
    nodes: Sequence[int], edges: Iterable[tuple[int, int]], kept: Collection[int]
) -> tuple[Step, ...]:
    """Order in which all nodes but the kept ones are removed, least fill first."""
    into: dict[int, set[int]] = {node: set() for node in nodes}
    out: dict[int, set[int]] = {node: set() for node in nodes}
    for source, target in edges:
        out[source].add(target)
        into[target].add(source)

    def fill(node: int) -> int:
        return len(into[node]) * len(out[node])

    waiting = [(fill(node), node) for node in nodes if node not in kept]
    heapq.heapify(waiting)
    steps: list[Step] = []
    while waiting:
        cost, node = heapq.heappop(waiting)
        if node not in into:
            continue
        if cost != fill(node):  # outdated since neighbours went
            heapq.heappush(waiting, (fill(node), node))
            continue
        returns = node in out[node]
        sources = tuple(sorted(into.pop(node) - {node}))
        targets = tuple(sorted(out.pop(node) - {node}))
        steps.append(Step(node, sources, targets, returns))
        for source in sources:
            out[source].discard(node)
            out[source].update(targets)
        for target in targets:
            into[target].discard(node)
            into[target].update(sources)
    return tuple(steps)


@dataclass(frozen=True, slots=True)
class Eliminated:
    """What is needed to recover the nodes removed, and how often material passes them.

    inputs, weights: what reaches the kept nodes from outside and from one another.
    least_pivot: smallest 1 - w[k, k] met; 1 over it is the number of passes.
    """

    inputs: dict[int, Array]
    weights: Weights
    taken: tuple[tuple[Step, Array, tuple[Array, ...]], ...]
    least_pivot: float


def eliminate(
    steps: Iterable[Step], weights: Mapping[tuple[int, int], Array], inputs: Mapping[int, Array]
) -> Eliminated:
    """Take the planned nodes out. Arrays broadcast to (B, n); the arguments are left as given.

    weights: (source, target) -> fraction of the source's output sent to the target.
    inputs: node -> what reaches it from outside; nodes without are absent.
    """
    left = dict(weights)
    fed = dict(inputs)
    taken = []
    least = 1.0
    for step in steps:
        node = step.node
        supply = fed.pop(node, None)
        ways = tuple(left.pop((source, node)) for source in step.sources)
        if step.returns:
            pivot = 1.0 - left.pop((node, node))
            least = min(least, float(pivot.min()))
            gain = 1.0 / np.where(pivot < _NOTHING_LEAVES, 1.0, pivot)
            supply = None if supply is None else supply * gain
            ways = tuple(way * gain for way in ways)
        taken.append((step, _ZERO if supply is None else supply, ways))
        for target in step.targets:
            share = left.pop((node, target))
            if supply is not None:
                add(fed, target, supply * share)
            for source, way in zip(step.sources, ways, strict=True):
                add(left, (source, target), way * share)
    return Eliminated(fed, left, tuple(taken), least)


def add(sums: dict[_Key, Array], key: _Key, value: Array) -> None:
    """Add to the sum of a key, which may have none yet."""
    present = sums.get(key)
    sums[key] = value if present is None else present + value


def recover(eliminated: Eliminated, outputs: Mapping[int, Array]) -> dict[int, Array]:
    """Feeds of the nodes removed, from the outputs of the kept ones, each (B, n)."""
    known = dict(outputs)
    feeds: dict[int, Array] = {}
    for step, supply, ways in reversed(eliminated.taken):
        feed = supply
        for source, way in zip(step.sources, ways, strict=True):
            feed = feed + way * known[source]
        known[step.node] = feeds[step.node] = feed
    return feeds
