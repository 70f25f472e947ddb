"""A loop with screens whose cut sizes depend on their load, and crushers that follow their feed.

The loop is linear while the cut sizes are fixed and the crushers see the same feed, so the outer
iteration is on the logarithms of the cut sizes, on what the crushers see (`following`), and nothing
else. What is given is one linear solve with one set of operators, the cut sizes being that set's:
the flows close to rounding however the iteration ended.

Assumption: the bulk density a cut size reads is that of the material entering the loop.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from hoggin.balance.acceleration import fixed_point
from hoggin.balance.circuit import Circuit, Screen, Splitter
from hoggin.balance.demand import Demands
from hoggin.balance.elimination import add
from hoggin.balance.following import Followers
from hoggin.balance.loop import LoopFlow, solve_loop
from hoggin.balance.result import Array, Loop
from hoggin.balance.separation import Decks, Separation, split
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
    circuit: Circuit,
    part: Part,
    loop: Loop,
    operators: Array,
    inputs: Mapping[int, Array],
    masses: Mapping[int, Array],
    bulk_density: Array,
) -> Settled:
    """Find the cut sizes that a loop's own load gives, and the flows at them.

    operators: (1 or B, c, n, n) of its crushers; those of crushers that follow their feed are
    filled in. inputs: machine -> (B, n) from outside the loop. masses: the same by material,
    (B, K). bulk_density: (B,) t/m3.
    Raises CannotSettle.
    """
    units = {m: circuit.units[m] for m in part.machines}
    screens = {m: unit for m, unit in units.items() if isinstance(unit, Screen)}
    splits = {m: split(unit) for m, unit in units.items() if isinstance(unit, Splitter)}
    entering = np.sum(list(inputs.values()), axis=0)

    def flow(at: Mapping[int, Separation], entering: Mapping[int, Array]) -> LoopFlow:
        weights = sent_on(circuit, part, at)
        return solve_loop(
            part.flow_plan, part.crushers, operators, weights, entering, circuit.cases
        )

    demands = Demands(circuit, part, inputs, flow)

    def look_for_traps(settled: Settled) -> None:
        demands.refuse(loop)
        if settled.flow.traps:
            refuse_trapped(circuit, part, loop, operators, settled.separations, inputs)

    followers = Followers(circuit, part, operators, masses)
    if not screens and not followers.width:
        settled = Settled(*demands.settled(splits), {}, 0)
        look_for_traps(settled)
        refuse_endless(loop, settled.flow.feeds, entering)
        return settled

    decks = Decks(screens, circuit.cells, circuit.cases)
    unloaded = np.broadcast_to(entering[:, None], (circuit.cases, decks.count, entering.shape[1]))
    cuts = np.log(decks.cut_sizes(unloaded, bulk_density))
    start = np.concatenate([cuts, followers.start(entering)], axis=1)

    at_first = not followers.width and not demands.asked_t_h  # what these see then shows no trap

    def step(z: Array) -> tuple[Array, Settled]:
        cuts, seen = np.exp(z[:, : decks.count]), z[:, decks.count :]
        followers.set_operators(seen)
        separated = splits | decks.separate(cuts)
        settled = Settled(*demands.settled(separated), decks.by_screen(cuts), 0)
        at = settled.separations
        if z is start and at_first:
            look_for_traps(settled)
        loads = decks.loads(settled.flow.feeds, at)
        cuts = np.log(decks.cut_sizes(loads, bulk_density))
        sight = followers.see(settled.flow, at, seen)
        return np.concatenate([cuts, sight], axis=1), settled

    reached = fixed_point(step, start, tolerance=_TOLERANCE, limit=_MOST_ITERATIONS)
    settled = replace(reached.outcome, iterations=reached.iterations)
    if not at_first:
        look_for_traps(settled)
    tags = circuit.flowsheet.machines
    loaded = {tags[m]: settled.flow.feeds[m] for m in screens}
    following = {tags[m]: settled.flow.feeds[m] for m in followers.moving}
    refuse_unsteady(loop, loaded, following, entering, ~reached.converged)
    look_for_traps(settled)
    refuse_endless(loop, settled.flow.feeds, entering)
    return settled


def sent_on(
    circuit: Circuit, part: Part, separations: Mapping[int, Separation]
) -> dict[tuple[int, int], Array]:
    """What a machine sends to another of the loop, as fractions by class of its output."""
    weights: dict[tuple[int, int], Array] = {}
    whole = np.ones((1, 1))
    for stream in part.inner:
        link = circuit.flowsheet.links[stream]
        separation = separations.get(link.source)  # none for a crusher: all goes one way
        add(weights, link.way, whole if separation is None else separation.outlets[link.outlet])
    return weights
