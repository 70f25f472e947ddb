"""Splitters by tonnage, and stores with a draw, within a loop: what they are asked and get.

While an outlet gets the tonnage that is asked of it, its share of the feed depends on that feed,
which in a loop depends on the share. The unknowns are the tonnages fed to these splitters, few
beside the flows, and the flows are linear once the shares are known. Newton's method finds them:
a tonne more of feed at a splitter leaves the tonnages it is asked as they are, and sends one more
on. So its slope is the answer of the loop to a tonne that goes on where it was sold, one linear
solve for each splitter, and a loop that does not break or sort is met in one step. A splitter that
gets less than is asked sends all of it to who asks: there the slope is none, and which of them are
short is found as in the policy iteration of Howard (1960), Dynamic Programming and Markov
Processes, from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.circuit import Circuit, Demand
from hoggin.balance.elimination import add
from hoggin.balance.loop import LoopFlow
from hoggin.balance.result import Array, Loop
from hoggin.balance.separation import Separation, divide
from hoggin.balance.settle import refuse_overfed
from hoggin.balance.topology import PRODUCT, Part
from hoggin.models.arrays import over

_TOLERANCE = 1e-11  # of a splitter's feed, relative
_MOST_STEPS = 60
_PLAIN_STEPS = 12  # before steps are shortened
_PASSING = 1e-6  # of what is asked: sent on at first even where all is sold, so nothing is trapped
_NO_SLOPE = 1e-14  # keeps a system regular in which all that enters is sold
_NOTHING = 1e-300  # t/h
_MOST = 1e7  # feed over what enters the loop and is asked: more enters than leaves

Solve = Callable[[Mapping[int, Separation], Mapping[int, Array]], LoopFlow]


class Demands:
    """The K splitters by tonnage of one loop, their feeds found again for each set of separations
    and operators, from where they were found before."""

    def __init__(
        self, circuit: Circuit, part: Part, inputs: Mapping[int, Array], solve: Solve
    ) -> None:
        """inputs: machine -> (B, n) from outside. solve: the loop's flows from the separations of
        its machines and from what enters it."""
        self._inputs = inputs
        self._solve = solve
        self._units = {m: u for m in part.machines if isinstance(u := circuit.units[m], Demand)}
        self._tags = circuit.flowsheet.machines
        self._ways: dict[int, list[tuple[int, int]]] = {m: [] for m in self._units}
        for stream in (*part.inner, *part.leaving):
            link = circuit.flowsheet.links[stream]
            if link.source in self._units and link.target != PRODUCT:
                inside = link.target in part.machines
                self._ways[link.source] += [(link.outlet, link.target)] if inside else []
        columns = [
            np.broadcast_to(unit.asked_t_h.sum(axis=1), (circuit.cases,))
            for unit in self._units.values()
        ]
        self._asked = np.stack(columns, axis=1) if columns else np.empty((circuit.cases, 0))
        entering = np.sum([flow.sum(axis=1) for flow in inputs.values()], axis=0)
        most = np.maximum(entering + self._asked.sum(axis=1), _NOTHING)
        self._start = np.repeat(most[:, None], len(self._units), axis=1)
        self._fed = self._start
        self._found = np.ones(circuit.cases, dtype=bool)

    @property
    def asked_t_h(self) -> dict[str, Array]:
        """What is asked of each of them, (B,), by tag."""
        return {self._tags[m]: self._asked[:, k] for k, m in enumerate(self._units)}

    def refuse(self, loop: Loop) -> None:
        """Raise for the cases in which no feeds were found."""
        refuse_overfed(loop, self.asked_t_h, ~self._found)

    def settled(self, at: Mapping[int, Separation]) -> tuple[LoopFlow, Mapping[int, Separation]]:
        """The loop's flows, and the separations of all its machines, those of others given."""
        if not self._units:
            return self._solve(at, self._inputs), at
        self._fed = np.where(self._found[:, None], self._fed, self._start)
        least = self._asked * (1.0 + _PASSING)
        flow, whole = self._settle(at, least)
        if (
            (self._fed <= least) & (self._asked > 0.0)
        ).any():  # those that are short get all that arrives
            flow, whole = self._settle(at, self._asked)
        return flow, whole

    def _settle(
        self, at: Mapping[int, Separation], least: Array
    ) -> tuple[LoopFlow, Mapping[int, Separation]]:
        """Flows and separations where a splitter's feed counts as `least` (B, K), if it is less."""
        for step in range(_MOST_STEPS + 1):
            counted = np.maximum(self._fed, least)
            whole = {**at, **self._divided(counted)}
            flow = self._solve(whole, self._inputs)
            found = np.stack([flow.feeds[m].sum(axis=1) for m in self._units], axis=1)
            still = np.maximum(found, least)
            close = np.abs(still - counted) <= _TOLERANCE * counted
            held = close & (counted < _MOST * self._start) | (self._asked == 0.0)
            self._found = held.all(axis=1)
            if self._found.all() or step == _MOST_STEPS:
                break
            served = (self._fed > least) & (self._asked > 0.0)
            after = self._newton(whole, flow, found, served)
            if step >= _PLAIN_STEPS:
                after = (after + self._fed) / 2
            self._fed = np.where(self._found[:, None], self._fed, after)
        return flow, whole

    def _divided(self, fed: Array) -> dict[int, Separation]:
        return {m: divide(unit, fed[:, k]) for k, (m, unit) in enumerate(self._units.items())}

    def _newton(
        self, at: Mapping[int, Separation], flow: LoopFlow, found: Array, served: NDArray[np.bool_]
    ) -> Array:
        """Feeds (B, K) after a step. found: what the feeds, taken as they were, gave. served: where
        a splitter gets all that is asked of it."""
        count = len(self._units)
        slopes = np.zeros((len(found), count, count))
        for k, (m, unit) in enumerate(self._units.items()):
            if not served[:, k].any():
                continue
            grading = over(flow.feeds[m], found[:, k][:, None], empty=0.0)
            more: dict[int, Array] = {}
            for outlet, target in self._ways[m]:
                sold = -over(unit.asked_t_h[:, outlet], unit.asked_t_h.sum(axis=1), empty=0.0)
                add(more, target, grading * (1.0 if outlet == unit.rest else sold[:, None]))
            if not more:
                continue
            answer = self._solve(at, more)
            sold_share = over(self._asked[:, k], self._fed[:, k], served[:, k], 0.0)
            for row, other in enumerate(self._units):
                slopes[:, row, k] = answer.feeds[other].sum(axis=1) * sold_share
        system = (1.0 + _NO_SLOPE) * np.eye(count) - slopes
        side = found - np.einsum("bmk,bk->bm", slopes, self._fed)
        try:
            after: Array = np.linalg.solve(system, side[:, :, None])[:, :, 0]
        except np.linalg.LinAlgError:
            after = found
        after = np.where(np.isfinite(after), after, found)
        return np.clip(after, 0.0, _MOST * self._start)
