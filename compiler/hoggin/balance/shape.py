"""Flaky rock followed through a balanced plant: a tracer by size class on known flows.

What is said here of flaky rock holds of every measure of shape: of flat and elongated rock too,
which is followed on its own, from its own start and by its own models.

The mass balance is done and stays as it is. Splitters, blends, bins and decks of square or round
openings are blind to shape: they pass on flaky rock as they pass on its class. Crushers keep the
shape of what they leave unbroken and give what they break the flakiness of their own model. That is
linear in the flaky mass of each class, so a loop is one elimination of its machines, all classes
and cases at once. How much a slotted deck prefers flakes depends on how many there are, so
the flaky shares on such decks in a loop are found by iteration.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.acceleration import fixed_point
from hoggin.balance.breaking import Fed, f80, fed_arguments, passing_each, shares_of
from hoggin.balance.circuit import (
    Arguments,
    Circuit,
    Crusher,
    Screen,
    ScreenDeck,
    lower,
    model_of,
    rows_of,
    some_at_a_time,
)
from hoggin.balance.elimination import add, eliminate, recover
from hoggin.balance.grid import Find, parameters
from hoggin.balance.numbers import PLAIN, Numbers
from hoggin.balance.result import Balance
from hoggin.balance.topology import PRODUCT, Part
from hoggin.graph import reached
from hoggin.models import catalog, grading, shape
from hoggin.models.arrays import Array, over
from hoggin.schema.kinds import KINDS
from hoggin.schema.measures import FLAKINESS, Measure, elongation_of
from hoggin.schema.plant import Plant

_STILL = 1e-10  # error of a flaky share that ends the iteration on slotted decks
_MOST_ITERATIONS = 100


@dataclass(frozen=True, slots=True)
class Shape:
    """Flaky rock in a balanced plant. B cases, S streams, n size classes as in the balance.

    flaky_t_h: (B, S, n), between 0 and the stream's mass.
    known: (S,) whether all rock of the stream comes from feeds that state their flakiness,
        through crushers that have a model for it; where not, flaky_t_h counts the rest as cubical.
    """

    flaky_t_h: Array
    known: NDArray[np.bool_]


def trace(
    plant: Plant,
    balance: Balance,
    measure: Measure = FLAKINESS,
    *,
    circuit: Circuit | None = None,
    numbers: Numbers = PLAIN,
    find: Find = catalog.find,
) -> Shape | None:
    """Follow the flaky rock of a balance's cases.

    circuit: that of the balance, with all its cases; the plant's own where it is left out.
    numbers: what of the plant differs between the cases.
    None where no feed states the measure.
    """
    if not any(measure.stated_by(feed) is not None for feed in plant.feeds):
        return None
    circuit = circuit or lower(plant, balance.edges_mm, find=find)
    tracer = _Tracer(plant, circuit, balance, numbers, measure, find)
    return Shape(tracer.flaky(), _known(plant, circuit, measure))


def _known(plant: Plant, circuit: Circuit, measure: Measure) -> NDArray[np.bool_]:
    """(S,) False for every stream that a feed or crusher of unknown shape can reach."""
    links = circuit.flowsheet.links
    silent = {-1 - k for k, feed in enumerate(plant.feeds) if not measure.stated_by(feed)}
    silent |= {
        m
        for m, machine in enumerate(plant.machines)
        if KINDS[machine.kind].breaks and not measure.known_of(machine, elongation_of(plant))
    }
    onward: dict[int, list[int]] = {}
    for link in links:
        if link.target != PRODUCT:
            onward.setdefault(link.source, []).append(link.target)
    open_ones = reached(silent, onward)
    return np.array([link.source not in open_ones for link in links])


@dataclass
class _Tracer:
    """The flaky mass of every stream, (B, S, n), filled part by part as the mass balance was."""

    plant: Plant
    circuit: Circuit
    balance: Balance
    numbers: Numbers
    measure: Measure
    find: Find

    def __post_init__(self) -> None:
        self.links = self.circuit.flowsheet.links
        self.streams = self.balance.streams_t_h
        self.out = np.zeros_like(self.streams)

    def flaky(self) -> Array:
        for stream, link in enumerate(self.links):
            if link.source < 0:
                self.out[:, stream] = self.streams[:, stream] * self._stated(-1 - link.source)
        for part in self.circuit.flowsheet.parts:
            self._part(part)
        return np.clip(self.out, 0.0, self.streams)

    def _stated(self, number: int) -> Array:
        """Flaky share of a feed by class, (1 or B, n); 0 where it states none."""
        feed = self.plant.feeds[number]
        points = self.measure.stated_by(feed)
        if not points:
            return np.zeros((1, self.streams.shape[2]))
        base = ("feeds", feed.tag, self.measure.name)
        columns = [
            self.numbers.of((*base, at, side), points[at][side])
            for at in range(len(points))
            for side in (0, 1)
        ]
        rows = np.stack(np.broadcast_arrays(*columns), axis=1).reshape(-1, len(points), 2)
        edges = self.circuit.edges_mm
        return np.stack([shape.class_flakiness(edges, *row.T) for row in rows])

    def _part(self, part: Part) -> None:
        """The flaky feed of each machine of a part, then what leaves each."""
        inputs: dict[int, Array] = {}
        for stream in part.entering:
            add(inputs, self.links[stream].target, self.out[:, stream])
        kept: dict[int, Array] = {}
        made: dict[int, Array] = {}
        for m in part.crushers:
            kept[m], made[m] = self._crushed(m)
        outgoing = [(s, self.links[s].source) for s in (*part.inner, *part.leaving)]
        blind = {s: kept[m] if m in kept else self._share(s, m) for s, m in outgoing}
        slotted = {m: decks for m in part.machines if (decks := self._slotted(m))}
        shares: Mapping[int, Array]
        if part.is_loop:
            shares, feeds = self._settle(part, blind, slotted, inputs, made)
        else:
            (machine,) = part.machines
            feeds = {machine: inputs.get(machine, np.zeros(self.streams.shape[::2]))}
            shares = self._with_slots(blind, slotted, feeds)
        for stream, m in outgoing:
            self.out[:, stream] = shares[stream] * feeds[m] + made.get(m, 0.0)

    def _settle(
        self,
        part: Part,
        blind: Mapping[int, Array],
        slotted: Mapping[int, Sequence[Array | None]],
        inputs: Mapping[int, Array],
        made: Mapping[int, Array],
    ) -> tuple[Mapping[int, Array], dict[int, Array]]:
        """What each stream of a loop takes of flaky feeds, and these feeds.

        Classes don't mix, so the flaky shares on slotted screens settle for each on their own.
        """
        supplied = dict(inputs)
        for link in (self.links[stream] for stream in part.inner):
            if link.source in made:
                add(supplied, link.target, made[link.source])
        if not slotted:
            return blind, self._solve(part, blind, supplied)
        loads = {m: self.balance.machine_feeds_t_h[:, m] for m in slotted}
        cases, classes = self.streams.shape[::2]

        def step(z: Array) -> tuple[Array, tuple[Mapping[int, Array], dict[int, Array]]]:
            on_screens = zip(slotted, np.clip(z, 0.0, 1.0).T, strict=True)
            flaky = {m: share.reshape(cases, classes) * loads[m] for m, share in on_screens}
            shares = self._with_slots(blind, slotted, flaky)
            feeds = self._solve(part, shares, supplied)
            after = [over(feeds[m], loads[m], empty=0.0).ravel() for m in slotted]
            return np.clip(np.stack(after, axis=1), 0.0, 1.0), (shares, feeds)

        start, _ = step(np.zeros((cases * classes, len(slotted))))
        return fixed_point(step, start, tolerance=_STILL, limit=_MOST_ITERATIONS).outcome

    def _solve(
        self, part: Part, shares: Mapping[int, Array], supplied: Mapping[int, Array]
    ) -> dict[int, Array]:
        weights: dict[tuple[int, int], Array] = {}
        for stream in part.inner:
            add(weights, self.links[stream].way, shares[stream])
        return recover(eliminate(part.mix_plan, weights, supplied), {})

    def _share(self, stream: int, machine: int) -> Array:
        """What a stream takes of its machine's feed, class by class."""
        feed = self.balance.machine_feeds_t_h[:, machine]
        return over(self.streams[:, stream], feed, empty=0.0)

    # -- crushers -------------------------------------------------------------------------------

    def _crushed(self, machine: int) -> tuple[Array, Array]:
        """Of a crusher: the share of flaky feed it leaves flaky, and the flaky rock it makes."""
        unit = self.circuit.units[machine]
        assert isinstance(unit, Crusher)
        (leaving,) = [s for s, link in enumerate(self.links) if link.source == machine]
        feed, product = self.balance.machine_feeds_t_h[:, machine], self.streams[:, leaving]
        fresh = self._fresh(machine, feed, product)
        edges, rock = self.circuit.edges_mm, shares_of(self.balance.composition[:, leaving])
        filled = self.balance.filling[:, machine]
        fed = Fed(f80(edges, feed), rock, passing_each(feed), filled)
        arguments = fed_arguments(unit, fed)
        return shape.crushed(feed, _unbroken(unit, edges, arguments), product, fresh)

    def _fresh(self, machine: int, feed: Array, product: Array) -> Array:
        """Flakiness of what a crusher breaks, (B, n); 0 where it has no such model."""
        declared, role = self.plant.machines[machine], self.measure.name
        if role not in declared.models:
            return np.zeros((1, 1))
        _, model = model_of(declared, role, self.find)
        function = model.load("fresh")
        edges = self.circuit.edges_mm
        known = {"edges_mm": edges} | self.numbers.coefficients(declared, role)
        wanted = parameters(function)
        known["filling"] = self.balance.filling[:, machine]
        if "f80_mm" in wanted:
            known["f80_mm"] = grading.size_at(edges, feed, 0.8)
            known["p80_mm"] = grading.size_at(edges, product, 0.8)
        fresh: Array = function(**{k: v for k, v in known.items() if k in wanted})
        return fresh

    # -- slotted decks --------------------------------------------------------------------------

    def _slotted(self, machine: int) -> tuple[Array | None, ...]:
        """A screen's decks from the top: by class, (B, n), how much more readily a flaky piece
        falls through than another. None for a deck blind to shape; empty if all of them are."""
        declared = self.plant.machines[machine]
        unit = self.circuit.units[machine]
        slots = [deck.shape == "slotted" for deck in declared.decks]
        if not any(slots) or not isinstance(unit, Screen):
            return ()

        def advantage(deck: ScreenDeck) -> Array:
            key = (declared.tag, deck.name)
            cut, moisture = self.balance.cut_sizes_mm[key], self.balance.deck_moistures[key]
            edges = self.circuit.edges_mm
            given = dict(deck.oversize_arguments)
            given |= {"moisture": moisture} if deck.reads_moisture else {}
            flakes = 1.0 - deck.oversize(edges, shape.FLAKY_CUT_RATIO * cut, **given)
            return over(flakes, 1.0 - deck.oversize(edges, cut, **given), empty=1.0)

        decks = zip(unit.decks, slots, strict=True)
        return tuple(advantage(deck) if is_slotted else None for deck, is_slotted in decks)

    def _with_slots(
        self,
        blind: Mapping[int, Array],
        slotted: Mapping[int, Sequence[Array | None]],
        flaky_feeds: Mapping[int, Array],
    ) -> Mapping[int, Array]:
        """What each stream takes of the flaky feed, with the slotted decks' preference."""
        shares = dict(blind)
        for machine, decks in slotted.items():
            outlets = self._through(machine, decks, flaky_feeds[machine])
            for stream in shares:
                if self.links[stream].source == machine:
                    shares[stream] = outlets[self.links[stream].outlet]
        return shares

    def _through(
        self, machine: int, decks: Sequence[Array | None], flaky_feed: Array
    ) -> tuple[Array, ...]:
        """What each outlet of a screen takes of its flaky feed, deck after deck."""
        unit = self.circuit.units[machine]
        assert isinstance(unit, Screen)
        tag = self.circuit.flowsheet.machines[machine]
        loads = [self.balance.deck_feeds_t_h[tag, deck.name] for deck in unit.decks]
        under = next(
            s
            for s, link in enumerate(self.links)
            if link.source == machine and unit.outlets[link.outlet] == len(unit.decks)
        )
        loads.append(self.streams[:, under])
        reaching = np.ones_like(flaky_feed)
        leaving: list[Array] = []
        for number, advantage in enumerate(decks):
            falls = over(loads[number + 1], loads[number], empty=0.0)
            if advantage is not None:
                flaky = np.clip(over(reaching * flaky_feed, loads[number], empty=0.0), 0.0, 1.0)
                falls = shape.flaky_undersize(falls, flaky, advantage)
            leaving.append(reaching * (1.0 - falls))
            reaching = reaching * falls
        leaving.append(reaching)
        return tuple(leaving[outlet] for outlet in unit.outlets)


def _unbroken(unit: Crusher, edges_mm: Array, arguments: Arguments) -> Array:
    """The diagonal of a crusher's operators, (1 or B, n)."""
    return np.concatenate(
        [
            np.diagonal(unit.operator(edges_mm, **given), axis1=1, axis2=2)
            for _, given in some_at_a_time(rows_of(arguments), arguments)
        ]
    )
