"""The flows of a loop whose operators are known: a linear problem.

A class of a crusher's product comes from the same class of its feed and from coarser ones, never
from finer. So once the machines that do not break are eliminated, the crushers' feeds are solved
class by class from coarse to fine: with T the transmission among crushers and m the diagonal of
their operators, x_i = (I - T_i diag(m_i))^-1 (a_i + T_i s_i), where s_i is what coarser classes
gave. The inverse belongs to no particular flow and is taken for all classes at once; the work is
n c^3 + n^2 c for n classes and c crushers, and not (n machines)^3.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hoggin.balance.elimination import TRAPPED, Eliminated, Step, eliminate, recover
from hoggin.balance.operators import Operators
from hoggin.balance.result import Array
from hoggin.balance.separation import Separation
from hoggin.balance.topology import Link

_FEW_CRUSHERS = 12  # up to here elimination across cases and classes beats a matrix at a time
_FEW_CASES = 16  # up to here a class at a time, with each case's own matrices, is sooner done
_BLOCK = 4_000_000  # numbers of the transmission held at a time
_RUN = 8  # classes that take what coarser ones gave in one product
_NOTHING_LEAVES = 1e-12


@dataclass(frozen=True, slots=True)
class LoopFlow:
    """Feeds (B, n) of all machines and products (B, n) of crushers, by machine number.

    traps: whether somewhere material passes so often that it may be trapped.
    """

    feeds: dict[int, Array]
    products: dict[int, Array]
    traps: bool

    def leaving(self, link: Link, separations: Mapping[int, Separation]) -> Array:
        """What runs in a stream that starts in the loop, (B, n)."""
        if link.source in self.products:
            return self.products[link.source]
        return self.feeds[link.source] * separations[link.source].outlets[link.outlet]


def solve_loop(
    plan: Sequence[Step],
    crushers: Sequence[int],
    operators: Operators,
    weights: Mapping[tuple[int, int], Array],
    inputs: Mapping[int, Array],
    cases: int,
) -> LoopFlow:
    """Flows of a loop.

    operators: in the order of `crushers`. weights: (source, target) -> fraction of the source's
    output, by class. inputs: machine -> (B, n) from outside the loop.
    """
    eliminated = eliminate(plan, weights, inputs)
    feeds = {}
    products = {}
    fewest = eliminated.least_pivot
    if crushers:
        fed, produced, fewest_crushed = _march(eliminated, crushers, operators, cases)
        fewest = min(fewest, fewest_crushed)
        feeds = {crusher: fed[:, c] for c, crusher in enumerate(crushers)}
        products = {crusher: produced[:, c] for c, crusher in enumerate(crushers)}
    feeds.update(recover(eliminated, products))
    return LoopFlow(feeds, products, traps=fewest < TRAPPED)


def _march(
    eliminated: Eliminated, crushers: Sequence[int], operators: Operators, cases: int
) -> tuple[Array, Array, float]:
    """Crusher feeds and products, (B, c, n), and the least pivot met."""
    if cases <= _FEW_CASES:
        operators = operators.written_out()
    count, classes = operators.count, operators.classes
    unbroken = operators.unbroken()
    end = classes if count > _FEW_CRUSHERS else _broken_classes(unbroken)
    feeds = np.zeros((cases, count, classes))
    products = np.zeros_like(feeds)
    least = 1.0
    for block in _blocks(0, end, cases * count * count):
        system, sides = _assembled(eliminated, crushers, unbroken, block, cases)
        if count > _FEW_CRUSHERS:
            marched = _march_many(system, sides, operators, unbroken, feeds, products, block)
            least = min(least, marched)
            continue
        least = min(least, _eliminate(system, sides))
        direct = np.ascontiguousarray(sides[:, 0].transpose(2, 0, 1))  # (k, c, B)
        indirect = np.ascontiguousarray(sides[:, 1:].transpose(3, 0, 1, 2))  # (k, c, c, B)
        if cases == 1 and block == slice(0, end):
            feeds[0, :, block] = _substitute(direct[..., 0], indirect[..., 0], operators.full[0])
            products[:, :, block] = operators.product(feeds, block, block)
            continue
        for k, broken, fed in _in_turn(operators, unbroken, feeds, products, block):
            fed[:] = direct[k] + np.einsum("vub,ub->vb", indirect[k], broken)
    # Where nothing is broken any more, no class waits for a coarser one.
    for block in _blocks(end, classes, cases * count * count):
        system, sides = _assembled(eliminated, crushers, unbroken, block, cases)
        least = min(least, _eliminate(system, sides))
        broken = operators.product(feeds, block, slice(0, end))
        indirect = np.einsum("vubk,buk->bvk", sides[:, 1:], broken)
        feeds[:, :, block] = sides[:, 0].transpose(1, 0, 2) + indirect
        products[:, :, block] = broken + feeds[:, :, block]
    return feeds, products, least


def _broken_classes(unbroken: Array) -> int:
    """How many of the coarsest classes there are up to the finest of which (c, B, n) any crusher
    breaks something."""
    some = np.flatnonzero((unbroken != 1.0).any(axis=(0, 1)))
    return int(some[-1]) + 1 if len(some) else 0


def _blocks(first: int, last: int, numbers: int) -> Iterator[slice]:
    """Classes from `first` to `last`, as many at a time as fit, with so many numbers a class."""
    size = max(1, _BLOCK // numbers)
    for start in range(first, last, size):
        yield slice(start, min(start + size, last))


def _in_turn(
    operators: Operators, unbroken: Array, feeds: Array, products: Array, block: slice
) -> Iterator[tuple[int, Array, Array]]:
    """Classes of a block one by one, by their place in it, each with what coarser ones give it and
    with room for its feeds, (c, B) both. Once these are filled in, the next class has its turn."""
    for start in range(block.start, block.stop, _RUN):
        run = slice(start, min(start + _RUN, block.stop))
        given = operators.product(feeds, run, slice(0, start)).transpose(2, 1, 0)
        within = operators.within(run)
        kept = unbroken[:, :, run].transpose(2, 0, 1)
        fed, made = np.empty(given.shape), np.empty(given.shape)
        for i, coarser in enumerate(given):
            broken = coarser + np.einsum("jcb,jcb->cb", within[i, :i], fed[:i])
            yield start - block.start + i, broken, fed[i]
            made[i] = broken + kept[i] * fed[i]
        feeds[:, :, run] = fed.transpose(2, 1, 0)
        products[:, :, run] = made.transpose(2, 1, 0)


def _assembled(
    eliminated: Eliminated,
    crushers: Sequence[int],
    unbroken: Array,
    block: slice,
    cases: int,
) -> tuple[Array, Array]:
    """I - T diag(m), (c, c, B, k), and beside one another a and T, (c, 1 + c, B, k)."""
    count, classes = len(crushers), block.stop - block.start
    place = {crusher: c for c, crusher in enumerate(crushers)}
    sides = np.zeros((count, 1 + count, cases, classes))
    for crusher, supply in eliminated.inputs.items():
        sides[place[crusher], 0] = supply[:, block]
    for (source, crusher), weight in eliminated.weights.items():
        part = weight[:, block] if weight.shape[1] > 1 else weight
        sides[place[crusher], 1 + place[source]] = part
    system = -sides[:, 1:] * unbroken[:, :, block]
    system[range(count), range(count)] += 1.0
    return system, sides


def _substitute(direct: Array, indirect: Array, operators: Array) -> Array:
    """Feeds (c, n) of one case: forward substitution, a run of classes at a time.

    direct: (k, c) of the first k classes. indirect: (k, c, c). operators: (c, n, n).
    """
    classes, count = direct.shape
    coarser = np.tril(operators[:, :classes, :classes], -1)
    ways = indirect[:, :, None, :] * coarser.transpose(1, 2, 0)[:, None]
    rows = ways.reshape(classes * count, classes * count)
    feeds = direct.ravel()
    for first in range(0, len(feeds), _RUN * count):
        run = slice(first, first + _RUN * count)
        given = feeds[run] + rows[run, :first] @ feeds[:first]
        feeds[run] = np.linalg.solve(np.eye(len(given)) - rows[run, run], given)
    return feeds.reshape(classes, count).T


def _march_many(
    system: Array,
    sides: Array,
    operators: Operators,
    unbroken: Array,
    feeds: Array,
    products: Array,
    block: slice,
) -> float:
    """March a block of classes in place, a system of all crushers solved a class."""
    systems = np.ascontiguousarray(system.transpose(3, 2, 0, 1))
    least = 1.0
    ones = np.ones(feeds.shape[:2])
    for k, broken, fed in _in_turn(operators, unbroken, feeds, products, block):
        side = sides[:, 0, :, k] + np.einsum("vub,ub->vb", sides[:, 1:, :, k], broken)
        right = np.stack([side.T, ones], axis=2)
        try:
            solved = np.linalg.solve(systems[k], right)
            most = float(np.abs(solved[:, :, 1]).max())
        except np.linalg.LinAlgError:  # exactly singular
            most = np.inf
        if most * TRAPPED > 1.0:
            guarded = np.ascontiguousarray(right.transpose(1, 2, 0))[..., None]
            least = min(least, _eliminate(system[:, :, :, k : k + 1].copy(), guarded))
            fed[:] = guarded[:, 0, :, 0]
        else:
            fed[:] = solved[:, :, 0].T
            least = min(least, 1.0 / max(most, 1.0))
    return least


def _eliminate(system: Array, sides: Array) -> float:
    """Gauss-Jordan in place on (c, c, B, k) and (c, s, B, k); gives the least pivot.

    No pivot search: the system is an M-matrix. A class that is trapped has a pivot of 0; it is
    taken as 1, which is right when nothing enters there, and `settle` looks whether that is so.
    """
    least = 1.0
    for p in range(len(system)):
        pivot = system[p, p]
        least = min(least, float(pivot.min()))
        gain = 1.0 / np.where(pivot < _NOTHING_LEAVES, 1.0, pivot)
        system[p, p + 1 :] *= gain
        sides[p] *= gain
        for v in range(len(system)):
            if v != p:
                factor = system[v, p]
                system[v, p + 1 :] -= factor * system[p, p + 1 :]
                sides[v] -= factor * sides[p]
    return least
