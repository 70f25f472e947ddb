"""A loop with screens whose cut sizes depend on their load, and crushers that follow their feed.

The loop is linear while the cut sizes are fixed and the crushers see the same feed, so the outer
iteration is on the logarithms of the cut sizes, on what the crushers see (`following`), on the
moisture of decks where it differs round the loop (`dampness`), and nothing else. What is given is
one linear solve with one set of operators, the cut sizes being that set's: the flows close to
rounding however the iteration ended. Of several balances it is the one that the plant comes to as
it is started (`branch`).

Assumptions: the bulk density and the clay that a cut size reads are those of the material entering
the loop; on the way to a feed at which it runs away, water rises with the feed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.acceleration import FixedPoint, fixed_point
from hoggin.balance.branch import Branch, Flags, follow, lighter
from hoggin.balance.circuit import Circuit, Screen, ScreenDeck, Splitter, take
from hoggin.balance.dampness import Dampness
from hoggin.balance.demand import Demands
from hoggin.balance.elimination import add
from hoggin.balance.following import Followers
from hoggin.balance.loop import LoopFlow, solve_loop
from hoggin.balance.operators import Operators
from hoggin.balance.result import Array, Loop
from hoggin.balance.separation import Decks, Separation, split
from hoggin.balance.settle import refuse_endless, refuse_trapped, refuse_unsteady, returning
from hoggin.balance.topology import Part

TOLERANCE = 1e-11
"""Of a cut size, relative: what a load may still move it by."""

_MOST_ITERATIONS = 40
_STEEP = 0.4  # of a load's effect on itself, round the loop: from here on the branch is looked at
_HEAVY = 4.0  # of a machine over what enters: too near a fold, perhaps, for its load to feel
_STEP = 10.0 ** (1.0 / 20.0)  # of a sieve series, ISO 565 R 20
_TOO_STEEP = 0.9  # past a fold, or too near to one to be sure which balance this is


@dataclass(frozen=True, slots=True)
class Settled:
    """A loop's flows, with the cut sizes (B, D) of its screens, the moistures (B, D) read for them,
    the separations they make, and the operators of its crushers.

    runs_away_at: (B,) how many times this feed the loop takes before it runs away; infinite where
    that is not near.
    """

    flow: LoopFlow
    separations: Mapping[int, Separation]
    cut_sizes_mm: Mapping[int, Array]
    moistures: Mapping[int, Array]
    operators: Operators
    runs_away_at: Array
    iterations: int = 0


class LoadMap:
    """What the load of a loop's screens makes of their cut sizes, and of what its crushers see.

    z: (B, Z) logarithms of cut sizes, moistures of decks, then what crushers see.
    """

    def __init__(
        self,
        circuit: Circuit,
        part: Part,
        operators: Operators,
        inputs: Mapping[int, Array],
        masses: Mapping[int, Array],
        water: Mapping[int, Array],
    ) -> None:
        """operators: those of its crushers; those of crushers that follow their feed are filled
        in. inputs: machine -> (B, n) from outside the loop. masses: the same by feed, (B, K).
        water: what comes with it, (B,)."""
        self._given = (circuit, part, inputs, masses, water)
        self.entering = np.sum(list(inputs.values()), axis=0)
        units = {m: circuit.units[m] for m in part.machines}
        self.screens = {m: unit for m, unit in units.items() if isinstance(unit, Screen)}
        self._splits = {m: split(unit) for m, unit in units.items() if isinstance(unit, Splitter)}
        self.demands = Demands(circuit, part, inputs, self._flow)
        self.followers = Followers(circuit, part, operators, masses)
        self.decks = Decks(self.screens, circuit.cells, circuit.cases)
        self.dampness = Dampness(circuit, part, inputs, masses, water)

    def wider(self, times: float) -> LoadMap:
        """The map with so much wider openings of the decks whose oversize goes to crushers."""
        circuit, part, inputs, masses, water = self._given
        units = list(circuit.units)
        for link, deck in returning(circuit, part):
            screen = units[link.source]
            assert isinstance(screen, Screen)
            decks = tuple(_wider(d, times) if d.name == deck.name else d for d in screen.decks)
            units[link.source] = replace(screen, decks=decks)
        wider = replace(circuit, units=tuple(units))
        return LoadMap(wider, part, self.followers.operators, inputs, masses, water)

    def of(self, cases: NDArray[np.intp]) -> LoadMap:
        """The map of some cases, each as often as it is named."""
        circuit, part, inputs, masses, water = self._given
        return LoadMap(
            take(circuit, cases),
            part,
            self.followers.operators_of(cases),
            {m: flow[cases] for m, flow in inputs.items()},
            {m: mass[cases] for m, mass in masses.items()},
            {m: flow[cases] for m, flow in water.items()},
        )

    def _flow(self, at: Mapping[int, Separation], entering: Mapping[int, Array]) -> LoopFlow:
        circuit, part, *_ = self._given
        weights = sent_on(circuit, part, at)
        operators = self.followers.operators
        return solve_loop(
            part.flow_plan, part.crushers, operators, weights, entering, circuit.cases
        )

    def empty(self) -> Array:
        """(B, Z) with empty decks and full chambers, fed with what enters the loop."""
        cases, cells = self.entering.shape
        damp = self.dampness.start()
        empty = np.zeros((cases, self.decks.count, cells))
        cuts = self.decks.cut_sizes(empty, self.dampness.rock(damp))
        return np.concatenate([np.log(cuts), damp, self.followers.start(self.entering)], axis=1)

    def at(self, z: Array, times: Array | float = 1.0) -> tuple[Array, Settled]:
        """z as the load makes it where z holds, and the flows there. times: (B,) this feed; flows
        are those of this feed whatever it is."""
        decks = self.decks.count
        others = decks + self.dampness.width
        logs, damp, seen = z[:, :decks], z[:, decks:others], z[:, others:]
        cuts, rock = np.exp(logs), self.dampness.rock(damp)
        self.followers.set_operators(seen)
        flow, at = self.demands.settled(self._splits | self.decks.separate(cuts, rock))
        near = np.full(len(z), np.inf)
        by_screen = self.decks.by_screen
        operators = self.followers.operators
        settled = Settled(flow, at, by_screen(cuts), by_screen(rock.moistures), operators, near)
        loads = self.decks.loads(flow.feeds, at) * np.reshape(times, (-1, 1, 1))
        loaded = np.log(self.decks.cut_sizes(loads, rock))
        found = self.followers.see(flow, at, seen, np.reshape(times, -1))
        return np.concatenate([loaded, self.dampness.see(flow, at), found], axis=1), settled


def _wider(deck: ScreenDeck, times: float) -> ScreenDeck:
    """A deck with an opening so much wider."""
    cut, over = (
        {name: v * times if name == "aperture_mm" else v for name, v in arguments.items()}
        for arguments in (deck.cut_size_arguments, deck.oversize_arguments)
    )
    return replace(deck, cut_size_arguments=cut, oversize_arguments=over)


def settle_loop(
    circuit: Circuit,
    part: Part,
    loop: Loop,
    operators: Operators,
    inputs: Mapping[int, Array],
    masses: Mapping[int, Array],
    water: Mapping[int, Array],
    tolerance: float,
) -> Settled:
    """Find the cut sizes that a loop's own load gives, to a tolerance, and the flows at them. Other
    arguments as those of `LoadMap`. Raises CannotSettle."""
    load = LoadMap(circuit, part, operators, inputs, masses, water)

    def look_for_traps(settled: Settled) -> None:
        load.demands.refuse(loop)
        if settled.flow.traps:
            refuse_trapped(circuit, part, loop, settled.operators, settled.separations, inputs)

    start = load.empty()
    if not start.shape[1]:
        _, settled = load.at(start)
        look_for_traps(settled)
        refuse_endless(loop, settled.flow.feeds, load.entering)
        return settled
    # Empty decks and full chambers then show every trap.
    at_first = load.followers.by_load_alone and not load.demands.asked_t_h

    def step(z: Array) -> tuple[Array, Settled]:
        after, settled = load.at(z)
        if z is start and at_first:
            look_for_traps(settled)
        return after, settled

    reached = fixed_point(step, start, tolerance=tolerance, limit=_MOST_ITERATIONS)
    settled = replace(reached.outcome, iterations=reached.iterations)
    if not at_first and reached.converged.all():
        look_for_traps(settled)
    steep, doubtful = _looked_at(load, reached)
    if steep.any():
        way = follow(
            load.of(np.flatnonzero(steep)), tolerance=tolerance, known=reached.point[steep]
        )
        settled.runs_away_at[steep] = way.runs_away_at
    if doubtful.any():
        way = follow(load.of(np.flatnonzero(doubtful)), tolerance=tolerance)
        settled = _moved(load, reached.point, settled, doubtful, way)
        missing = doubtful.copy()
        missing[doubtful] = ~way.found
        if missing.any():
            _, light = load.at(start)
            most, wider = settled.runs_away_at, partial(_taken_if_wider, load)
            refuse_unsteady(circuit, part, loop, light.flow, settled.flow, missing, most, wider)
    look_for_traps(settled)
    refuse_endless(loop, settled.flow.feeds, load.entering)
    return settled


def _looked_at(load: LoadMap, reached: FixedPoint[Settled]) -> tuple[Flags, Flags]:
    """Cases (B,) that may be near running away, and those that may have settled where the plant
    does not come to, or not at all."""
    slope = reached.steepness
    doubtful: Flags = ~reached.converged | ~(slope < _TOO_STEEP)
    entering = load.entering.sum(axis=1)
    fed = np.max([feed.sum(axis=1) for feed in reached.outcome.flow.feeds.values()], axis=0)
    steep = ((slope > _STEEP) | (fed > _HEAVY * entering)) & ~doubtful
    some = np.flatnonzero(steep)
    if len(some):
        doubtful[some] = lighter(load.of(some), reached.point[some])
    return steep & ~doubtful, doubtful


def _taken_if_wider(load: LoadMap, case: int) -> float:
    """Times the feed that a case takes with openings wider by a step; infinite where it settles."""
    way = follow(load.of(np.array([case])).wider(_STEP), tolerance=TOLERANCE)
    return np.inf if way.found[0] else float(way.runs_away_at[0])


def _moved(load: LoadMap, z: Array, settled: Settled, doubtful: Flags, way: Branch) -> Settled:
    """The loop with doubtful cases where their way has them."""
    z = z.copy()
    z[doubtful] = way.point
    near = settled.runs_away_at.copy()
    near[doubtful] = way.runs_away_at
    _, moved = load.at(z)
    return replace(moved, runs_away_at=near, iterations=settled.iterations + way.steps)


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
