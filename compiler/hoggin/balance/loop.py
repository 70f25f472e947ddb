"""The flows of a loop whose operators are known: a linear problem.

A class of a crusher's product comes from the same class of its feed and from coarser ones, never
from finer. So once the machines that do not break are eliminated, the crushers' feeds are solved
class by class from coarse to fine: with T the transmission among crushers and m the diagonal of
their operators, x_i = (I - T_i diag(m_i))^-1 (a_i + T_i s_i), where s_i is what coarser classes
gave. The inverse belongs to no particular flow and is taken for all classes at once; the work is
n c^3 + n^2 c for n classes and c crushers, and not (n machines)^3.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hoggin.balance.elimination import TRAPPED, Eliminated, Step, eliminate, recover
from hoggin.balance.result import Array

_FEW_CRUSHERS = 12  # up to here elimination across all cases and classes beats one matrix a time
_BLOCK = 4_000_000  # numbers of the transmission held at a time
_NOTHING_LEAVES = 1e-12


@dataclass(frozen=True, slots=True)
class LoopFlow:
    """Feeds (B, n) of all machines and products (B, n) of crushers, by machine number.

    traps: whether somewhere material passes so often that it may be trapped.
    """

    feeds: dict[int, Array]
    products: dict[int, Array]
    traps: bool


def solve_loop(
    plan: Sequence[Step],
    crushers: Sequence[int],
    operators: Array,
    weights: Mapping[tuple[int, int], Array],
    inputs: Mapping[int, Array],
    cases: int,
) -> LoopFlow:
    """Flows of a loop.

    operators: (1 or B, c, n, n), lower triangular, in the order of `crushers`.
    weights: (source, target) -> fraction of the source's output, by class. inputs: machine ->
    (B, n) from outside the loop.
    """
    eliminated = eliminate(plan, weights, inputs)
    feeds = {}
    products = {}
    fewest = eliminated.least_pivot
    if crushers:
        fed, fewest_crushed = _march(eliminated, crushers, operators, cases)
        fewest = min(fewest, fewest_crushed)
        produced = (operators @ fed[..., None])[..., 0]
        feeds = {crusher: fed[:, c] for c, crusher in enumerate(crushers)}
        products = {crusher: produced[:, c] for c, crusher in enumerate(crushers)}
    feeds.update(recover(eliminated, products))
    return LoopFlow(feeds, products, traps=fewest < TRAPPED)


def _march(
    eliminated: Eliminated, crushers: Sequence[int], operators: Array, cases: int
) -> tuple[Array, float]:
    """Crusher feeds (B, c, n), and the least pivot met."""
    count, classes = operators.shape[1:3]
    unbroken = np.moveaxis(np.diagonal(operators, axis1=2, axis2=3), 1, 0)  # (c, 1 or B, n)
    feeds = np.zeros((cases, count, classes))
    fewest = 1.0
    size = max(1, _BLOCK // (cases * count * count))
    for first in range(0, classes, size):
        block = slice(first, min(first + size, classes))
        direct, indirect, least = _respond(eliminated, crushers, unbroken, block, cases)
        fewest = min(fewest, least)
        for i in range(block.start, block.stop):
            if i == 0:
                feeds[:, :, 0] = direct[0]
                continue
            broken = np.einsum("bcj,bcj->bc", operators[:, :, i, :i], feeds[:, :, :i])
            feeds[:, :, i] = direct[i - first] + np.einsum(
                "bvu,bu->bv", indirect[i - first], broken
            )
    return feeds, fewest


def _respond(
    eliminated: Eliminated,
    crushers: Sequence[int],
    unbroken: Array,
    block: slice,
    cases: int,
) -> tuple[Array, Array, float]:
    """What crushers are fed, class by class, for what enters and for what coarser classes give.

    Gives (k, B, c), (k, B, c, c) for the k classes of a block, and the least pivot.
    """
    count, classes = len(crushers), block.stop - block.start
    sides = np.zeros((count, 1 + count, cases, classes))  # a, then T
    for v, crusher in enumerate(crushers):
        if crusher in eliminated.inputs:
            sides[v, 0] = eliminated.inputs[crusher][:, _within(eliminated.inputs[crusher], block)]
        for u, source in enumerate(crushers):
            weight = eliminated.weights.get((source, crusher))
            if weight is not None:
                sides[v, 1 + u] = weight[:, _within(weight, block)]
    system = -sides[:, 1:] * unbroken[:, :, block]
    for v in range(count):
        system[v, v] += 1.0
    least = _eliminate_few(system, sides) if count <= _FEW_CRUSHERS else _solve_many(system, sides)
    return (
        np.ascontiguousarray(sides[:, 0].transpose(2, 1, 0)),
        np.ascontiguousarray(sides[:, 1:].transpose(3, 2, 0, 1)),
        least,
    )


def _within(array: Array, block: slice) -> slice:
    return block if array.shape[1] > 1 else slice(None)


def _eliminate_few(system: Array, sides: Array) -> float:
    """Gauss-Jordan in place on (c, c, B, k) and (c, s, B, k); gives the least pivot.

    No pivot search: the system is an M-matrix. A class that is trapped has a pivot of 0; it is
    taken as 1, which is right when nothing enters there, and `settle` looks whether that is so.
    """
    least = 1.0
    for p in range(len(system)):
        pivot = system[p, p]
        least = min(least, float(pivot.min()))
        gain = 1.0 / np.where(pivot < _NOTHING_LEAVES, 1.0, pivot)
        row, side = system[p] * gain, sides[p] * gain
        column = system[:, p].copy()
        column[p] = 0.0
        system -= column[:, None] * row
        sides -= column[:, None] * side
        system[p], sides[p] = row, side
    return least


def _solve_many(system: Array, sides: Array) -> float:
    """The same through LAPACK, matrix by matrix."""
    matrices = np.ascontiguousarray(system.transpose(2, 3, 0, 1))
    try:
        solved = np.linalg.solve(matrices, sides.transpose(2, 3, 0, 1))
        passes = np.linalg.solve(matrices, np.ones((len(system), 1)))
    except np.linalg.LinAlgError:  # exactly singular somewhere
        return _eliminate_few(system, sides)
    most = float(np.abs(passes).max())
    if most > 1.0 / TRAPPED:
        return _eliminate_few(system, sides)
    sides[...] = solved.transpose(2, 3, 0, 1)
    return 1.0 / max(most, 1.0)
