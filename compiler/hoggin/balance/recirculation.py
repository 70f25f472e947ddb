"""What reaches a machine of a loop for the first time, and what comes back to it.

The flows of a settled loop are linear: separations and breakage are known. Cut a machine's own
outlets, so that all it sends on is lost, and what still reaches it has come for the first time. The
rest of its feed comes for a second or later time. Both follow from the flowsheet and its flows
alone; which stream is said to close the loop makes no difference.

In the usual circuit of one crusher and one screen this is the textbook's circulating load (such as
Lynch 1977, Mineral Crushing and Grinding Circuits, cited from memory): where fresh feed F enters
and the oversize R comes back, the machine's feed is F + R, of which F comes for the first time.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hoggin.balance.elimination import Weights, plan
from hoggin.balance.loop import solve_loop
from hoggin.balance.operators import Operators
from hoggin.balance.result import Array
from hoggin.balance.topology import Link, Part
from hoggin.graph import flow_order, reached


def first_pass(
    part: Part,
    links: Sequence[Link],
    operators: Operators,
    weights: Weights,
    inputs: Mapping[int, Array],
    cases: int,
) -> dict[int, Array]:
    """What reaches each machine of a loop for the first time, t/h (B,).

    operators: those of the loop's crushers, as settled. weights: (source, target) -> fraction of
    the source's output, by class. inputs: machine -> (B, n) from outside.
    """
    place = {crusher: c for c, crusher in enumerate(part.crushers)}
    operators = operators.written_out() if cases == 1 else operators
    loop = _Loop(place, operators, weights, inputs, cases)
    passing = _only_ways(part, links)
    found: dict[int, Array] = {}
    for machine in part.machines:
        source = machine
        while source in passing and source not in inputs and passing[source] != machine:
            source = passing[source]  # all of it, and nothing else, comes on from there
        if source not in found:
            found[source] = loop.first_reaching(source)
        found[machine] = found[source]
    return found


def _only_ways(part: Part, links: Sequence[Link]) -> dict[int, int]:
    """By machine, the one machine of one outlet that alone of the loop feeds it, if so it is."""
    outlets = Counter(links[stream].source for stream in (*part.inner, *part.leaving))
    sources: dict[int, list[int]] = {}
    for stream in part.inner:
        sources.setdefault(links[stream].target, []).append(links[stream].source)
    return {
        target: found[0]
        for target, found in sources.items()
        if len(found) == 1 and outlets[found[0]] == 1
    }


@dataclass
class _Loop:
    """A settled loop, of which one machine's outlets are cut at a time. `place` is that of each
    crusher among the operators."""

    place: Mapping[int, int]
    operators: Operators
    weights: Weights
    inputs: Mapping[int, Array]
    cases: int

    def __post_init__(self) -> None:
        self.sources: dict[int, list[int]] = {}
        for source, target in self.weights:
            self.sources.setdefault(target, []).append(source)

    def first_reaching(self, machine: int) -> Array:
        """What reaches a machine with its own outlets cut, (B,)."""
        fed = reached([machine], self.sources)
        successors: dict[int, list[int]] = {m: [] for m in fed}
        for source, target in self.weights:
            if source in fed and target in fed and source != machine:
                successors[source].append(target)
        outputs: dict[int, Array] = {}
        feeds: dict[int, Array] = {}
        for members in flow_order(successors):
            some = self._flow(members, successors, outputs)
            feeds |= some
            outputs |= {m: self._output(m, feed) for m, feed in some.items()}
        return np.broadcast_to(feeds[machine].sum(axis=1), (self.cases,))

    def _flow(
        self,
        members: tuple[int, ...],
        successors: Mapping[int, Sequence[int]],
        outputs: Mapping[int, Array],
    ) -> dict[int, Array]:
        """Feeds of machines among which material recirculates, or of a single one."""
        arriving = {m: self._arriving(m, outputs) for m in members}
        inner = [(s, t) for s in members for t in successors[s] if t in arriving]
        if not inner:
            return arriving
        crushers = [m for m in members if m in self.place]
        places = [self.place[m] for m in crushers]
        return solve_loop(
            plan(members, inner, crushers),
            crushers,
            self.operators.some(places),
            {way: self.weights[way] for way in inner},
            arriving,
            self.cases,
        ).feeds

    def _arriving(self, machine: int, outputs: Mapping[int, Array]) -> Array:
        """What comes to a machine from outside and from machines already known, (B, n)."""
        feed = np.zeros((self.cases, self.operators.classes))
        feed += self.inputs.get(machine, 0.0)
        for source in self.sources.get(machine, ()):
            if source in outputs:
                feed += outputs[source] * self.weights[source, machine]
        return feed

    def _output(self, machine: int, feed: Array) -> Array:
        if machine not in self.place:
            return feed
        return self.operators.crushed(self.place[machine], feed)
