"""A loop with screens whose cut sizes depend on their load.

The loop is linear while the cut sizes stand, so the outer iteration is on the logarithms of the
cut sizes and nothing else. What is given is one linear solve with one set of operators, the cut
sizes being that set's: the flows close to rounding however the iteration ended.

Assumption: the bulk density a cut size reads is that of the material entering the loop.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from hoggin.balance.acceleration import fixed_point
from hoggin.balance.circuit import Circuit, Crusher, Screen, Splitter
from hoggin.balance.loop import LoopFlow, solve_loop
from hoggin.balance.result import Array, Loop
from hoggin.balance.separation import (
    Separation,
    cut_sizes_under,
    load_and_separate,
    separate,
    split,
)
from hoggin.balance.settle import refuse_endless, refuse_trapped, refuse_unsteady
from hoggin.balance.topology import Part

_TOLERANCE = 1e-11  # of a cut size, relative
_MOST_ITERATIONS = 100


@dataclass(frozen=True, slots=True)
class Settled:
    """A loop's flows, with the cut sizes (B, D) of its screens and the separations they make."""

    flow: LoopFlow
    separations: Mapping[int, Separation]
    cut_sizes_mm: Mapping[int, Array]
    iterations: int


def settle_loop(
    circuit: Circuit, part: Part, loop: Loop, inputs: Mapping[int, Array], bulk_density: Array
) -> Settled:
    """Find the cut sizes that a loop's own load gives, and the flows at them.

    inputs: machine -> (B, n) from outside the loop. bulk_density: (B,) t/m3.
    Raises CannotSettle.
    """
    units = {m: circuit.units[m] for m in part.machines}
    screens = {m: unit for m, unit in units.items() if isinstance(unit, Screen)}
    splits = {m: split(unit) for m, unit in units.items() if isinstance(unit, Splitter)}
    operators = _operators(circuit, part)
    entering = np.sum(list(inputs.values()), axis=0)
    edges = circuit.edges_mm

    def separations(cuts: Mapping[int, Array]) -> dict[int, Separation]:
        return splits | {m: separate(unit, edges, cuts[m]) for m, unit in screens.items()}

    def flow(at: Mapping[int, Separation], *, look: bool) -> LoopFlow:
        weights = _weights(circuit, part, at)
        found = solve_loop(part.flow_plan, part.crushers, operators, weights, inputs, circuit.cases)
        if look and found.traps:
            refuse_trapped(circuit, part, loop, operators, at, inputs)
        return found

    first = {
        m: load_and_separate(unit, edges, entering, bulk_density)[0] for m, unit in screens.items()
    }
    if not screens:
        settled = Settled(flow(splits, look=True), splits, {}, 0)
    else:
        ends = np.cumsum([cuts.shape[1] for cuts in first.values()])[:-1]
        start = np.log(np.concatenate(list(first.values()), axis=1))

        def cut_sizes(z: Array) -> dict[int, Array]:
            return dict(zip(screens, np.split(np.exp(z), ends, axis=1), strict=True))

        def step(z: Array) -> tuple[Array, Settled]:
            cuts = cut_sizes(z)
            at = separations(cuts)
            found = flow(at, look=z is start)
            loaded = [
                cut_sizes_under(unit, edges, found.feeds[m], at[m], bulk_density)
                for m, unit in screens.items()
            ]
            return np.log(np.concatenate(loaded, axis=1)), Settled(found, at, cuts, 0)

        reached = fixed_point(step, start, tolerance=_TOLERANCE, limit=_MOST_ITERATIONS)
        at = reached.outcome.separations
        if reached.iterations and reached.outcome.flow.traps:
            refuse_trapped(circuit, part, loop, operators, at, inputs)
        refuse_unsteady(loop, ~reached.converged)
        settled = Settled(
            reached.outcome.flow, at, reached.outcome.cut_sizes_mm, reached.iterations
        )
    refuse_endless(loop, settled.flow.feeds, entering)
    return settled


def _operators(circuit: Circuit, part: Part) -> Array:
    """Operators (1 or B, c, n, n) of a loop's crushers."""
    classes = len(circuit.edges_mm) - 1
    matrices = [operator(circuit, m) for m in part.crushers]
    stacked = np.empty((max(map(len, matrices), default=1), len(matrices), classes, classes))
    for c, matrix in enumerate(matrices):
        stacked[:, c] = matrix
    return stacked


def operator(circuit: Circuit, machine: int) -> Array:
    """Operator (1 or B, n, n) of a crusher."""
    unit = circuit.units[machine]
    if not isinstance(unit, Crusher):
        raise TypeError(f"{circuit.flowsheet.machines[machine]} is no crusher")
    return unit.operator(circuit.edges_mm, **unit.arguments)


def _weights(
    circuit: Circuit, part: Part, separations: Mapping[int, Separation]
) -> dict[tuple[int, int], Array]:
    """What a machine sends to another of the loop, as fractions by class of its output."""
    weights: dict[tuple[int, int], Array] = {}
    whole = np.ones((1, 1))
    for stream in part.inner:
        link = circuit.flowsheet.links[stream]
        separation = separations.get(link.source)  # none for a crusher: all goes one way
        share = whole if separation is None else separation.outlets[link.outlet]
        present = weights.get((link.source, link.target))
        weights[link.source, link.target] = share if present is None else present + share
    return weights
