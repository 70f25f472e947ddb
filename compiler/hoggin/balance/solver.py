"""From a circuit to its balance: part by part in the order material reaches them.

A part that is one machine is applied once, a loop is settled as a whole (`loading`). The bulk
density that a screen's cut size reads is that of the machine's own feed, volumes adding.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields, replace
from typing import Any

import numpy as np

from hoggin.balance.breaking import f80, fed_operator, operators, passing_classes, shares_of
from hoggin.balance.circuit import Circuit, Crusher, Demand, Screen, Splitter, lower, take
from hoggin.balance.elimination import add
from hoggin.balance.loading import sent_on, settle_loop
from hoggin.balance.loop import LoopFlow
from hoggin.balance.mixing import mix_loop, normalise
from hoggin.balance.recirculation import first_pass
from hoggin.balance.result import Balance, Loop, Water
from hoggin.balance.separation import Separation, divide, load_and_separate, rock_of, split
from hoggin.balance.settle import CannotSettle
from hoggin.balance.topology import Part, ends
from hoggin.balance.water import part_water, settle_water
from hoggin.models.arrays import Array, over
from hoggin.models.points import in_halves
from hoggin.schema.plant import Plant

_PASS = 30_000_000  # numbers of crusher operators held at a time; more cases go in several passes


def balance(plant: Plant) -> Balance:
    """Balance one plant: a batch of one case. Raises CannotSettle."""
    return solve(lower(plant))


def solve(circuit: Circuit) -> Balance:
    """Balance all cases of a circuit.

    Raises CannotSettle, naming the loop and the cases, when a loop has no steady balance.
    """
    cells = len(circuit.cells)
    crushers = sum(isinstance(unit, Crusher) for unit in circuit.units)
    size = max(1, _PASS // max(1, crushers * cells * cells))
    results = []
    for first in range(0, circuit.cases, size):
        cases = slice(first, min(first + size, circuit.cases))
        try:
            results.append(_Solution(take(circuit, cases)).balance())
        except CannotSettle as fault:
            numbered = tuple(case + first for case in fault.unsettled.cases)
            raise CannotSettle(replace(fault.unsettled, cases=numbered)) from None
    return results[0] if len(results) == 1 else _join(results)


class _Solution:
    """The arrays of one pass, filled part by part."""

    def __init__(self, circuit: Circuit) -> None:
        sheet, cases, cells = circuit.flowsheet, circuit.cases, len(circuit.cells)
        self.circuit = circuit
        self.cases = cases
        self.streams = np.zeros((cases, len(sheet.links), cells))
        self.composition = np.zeros((cases, len(sheet.links), len(circuit.rocks)))
        self.feeds = np.zeros((cases, len(sheet.machines), cells))
        self.first_pass = np.zeros((cases, len(sheet.machines)))
        self.water = np.zeros((cases, len(sheet.links)))
        self.cut_sizes: dict[tuple[str, str], Array] = {}
        self.moistures: dict[tuple[str, str], Array] = {}
        self.clays: dict[tuple[str, str], Array] = {}
        self.deck_feeds: dict[tuple[str, str], Array] = {}
        self.runs_away_at: list[Array] = []
        self.iterations = 0

    def balance(self) -> Balance:
        sheet = self.circuit.flowsheet
        rates = self.circuit.rates_t_h[:, :, None] * self.circuit.gradings
        for stream, link in enumerate(sheet.links):
            if link.source < 0:
                feed = -1 - link.source
                self.streams[:, stream] = rates[:, feed]
                self.composition[:, stream, feed] = 1.0
                brought = self.circuit.rates_t_h[:, feed] * self.circuit.moistures[:, feed]
                self.water[:, stream] = brought
        for one, matrices in zip(sheet.parts, operators(self.circuit), strict=True):
            if one.is_loop:
                self._loop(one, matrices)
            else:
                self._machine(one, matrices)
        carrying = self.streams.max(axis=2, keepdims=True) > 0.0
        return Balance(
            machines=sheet.machines,
            edges_mm=self.circuit.edges_mm,
            streams_t_h=in_halves(self.streams),
            water=self._water(),
            composition=self.composition * carrying,
            machine_feeds_t_h=in_halves(self.feeds),
            first_pass_t_h=self.first_pass,
            deck_feeds_t_h={key: in_halves(load) for key, load in self.deck_feeds.items()},
            cut_sizes_mm=self.cut_sizes,
            deck_moistures=self.moistures,
            deck_clays=self.clays,
            runs_away_at=tuple(self.runs_away_at),
            loops=tuple(self._named(one) for one in sheet.parts if one.is_loop),
            iterations=self.iterations,
            closure=self._closure(),
        )

    def _water(self) -> Water:
        feeds = [s for s, link in enumerate(self.circuit.flowsheet.links) if link.source < 0]
        added = (wetting.added_t_h.sum(axis=1) for wetting in self.circuit.wettings)
        return Water(
            self.water, self.water[:, feeds].sum(axis=1), sum(added, start=np.zeros(self.cases))
        )

    def _named(self, one: Part) -> Loop:
        tags = tuple(self.circuit.flowsheet.machines[m] for m in one.machines)
        return Loop(tags, one.closing, one.entering)

    # -- a machine on its own -------------------------------------------------------------------

    def _machine(self, one: Part, matrices: Array) -> None:
        (machine,) = one.machines
        unit = self.circuit.units[machine]
        feed = self._sum(one.entering)
        mass = self._entering_mass(one.entering)
        self.feeds[:, machine] = feed
        self.first_pass[:, machine] = feed.sum(axis=1)
        self.composition[:, one.leaving] = normalise(mass)[:, None]
        wetting, wet = self.circuit.wettings[machine], self.water[:, one.entering].sum(axis=1)
        if isinstance(unit, Crusher):
            if unit.follows:
                cells = self.circuit.cells
                size = f80(cells.edges_mm, in_halves(feed))
                matrices[:, 0] = fed_operator(
                    unit, cells, size, shares_of(mass), passing_classes(feed)
                )
            product = matrices[:, 0] @ feed[:, :, None]
            self.streams[:, one.leaving[0]] = product[:, :, 0]
            self.water[:, one.leaving[0]] = wet + wetting.added_t_h[:, 0]
            return
        if isinstance(unit, Splitter):
            separation = split(unit)
        elif isinstance(unit, Demand):
            separation = divide(unit, self.first_pass[:, machine])
        else:
            rock = rock_of(mass, self.circuit)
            cuts, moistures, separation = load_and_separate(
                unit, self.circuit.cells, feed, rock, wetting, wet
            )
            self._record_decks(machine, cuts, moistures, rock.clay, separation)
        solids = [(feed * share).sum(axis=1) for share in separation.outlets]
        parted = part_water(unit, wetting, wet, solids).outlets
        for stream in one.leaving:
            outlet = self.circuit.flowsheet.links[stream].outlet
            self.streams[:, stream] = feed * separation.outlets[outlet]
            self.water[:, stream] = parted[outlet].at(wet)

    def _entering_mass(self, streams: Sequence[int]) -> Array:
        """Mass from each feed in some streams together, (B, K)."""
        rates = self.streams[:, streams].sum(axis=2)
        mass: Array = np.einsum("bs,bsk->bk", rates, self.composition[:, streams])
        return mass

    def _masses(self, streams: Sequence[int]) -> Array:
        """Mass from each feed in each of some streams, (B, s, K)."""
        rates = self.streams[:, streams].sum(axis=2)
        masses: Array = rates[:, :, None] * self.composition[:, streams]
        return masses

    def _record_decks(
        self, machine: int, cuts: Array, moistures: Array, clay: Array, separation: Separation
    ) -> None:
        tag, unit = self.circuit.flowsheet.machines[machine], self.circuit.units[machine]
        decks = unit.decks if isinstance(unit, Screen) else ()
        for number, deck in enumerate(decks):
            self.cut_sizes[tag, deck.name] = cuts[:, number]
            self.moistures[tag, deck.name] = moistures[:, number]
            self.clays[tag, deck.name] = clay
            self.deck_feeds[tag, deck.name] = self.feeds[:, machine] * separation.reaching[number]

    # -- a loop ---------------------------------------------------------------------------------

    def _loop(self, one: Part, matrices: Array) -> None:
        inputs = self._by_target(one.entering, self.streams[:, one.entering])
        masses = self._by_target(one.entering, self._masses(one.entering))
        water = self._by_target(one.entering, self.water[:, one.entering])
        if not inputs:
            inputs = {one.machines[0]: self.feeds[:, one.machines[0]]}
            masses = {one.machines[0]: self._entering_mass(one.entering)}
            water = {one.machines[0]: np.zeros(self.cases)}
        loop = self._named(one)
        settled = settle_loop(self.circuit, one, loop, matrices, inputs, masses, water)
        self.iterations = max(self.iterations, settled.iterations)
        self.runs_away_at.append(settled.runs_away_at)
        self._record_loop(one, settled.separations, settled.flow)
        streams, _ = settle_water(self.circuit, one, settled.flow, settled.separations, water)
        for stream, left in streams.items():
            self.water[:, stream] = left
        weights = sent_on(self.circuit, one, settled.separations)
        links = self.circuit.flowsheet.links
        first = first_pass(one, links, matrices, weights, inputs, self.cases)
        for machine, reaching in first.items():
            self.first_pass[:, machine] = reaching
        clay = rock_of(self._entering_mass(one.entering), self.circuit).clay
        for machine, cuts in settled.cut_sizes_mm.items():
            moistures = settled.moistures[machine]
            self._record_decks(machine, cuts, moistures, clay, settled.separations[machine])
        self._mix(one, masses)

    def _by_target(self, streams: Sequence[int], values: Array) -> dict[int, Array]:
        """Values (B, s, ...) of s streams, summed over the machine they go to."""
        sums: dict[int, Array] = {}
        for place, stream in enumerate(streams):
            add(sums, self.circuit.flowsheet.links[stream].target, values[:, place])
        return sums

    def _record_loop(self, one: Part, at: Mapping[int, Separation], state: LoopFlow) -> None:
        for machine in one.machines:
            self.feeds[:, machine] = state.feeds[machine]
        for stream in (*one.inner, *one.leaving):
            link = self.circuit.flowsheet.links[stream]
            self.streams[:, stream] = state.leaving(link, at)

    def _mix(self, one: Part, masses: Mapping[int, Array]) -> None:
        links = self.circuit.flowsheet.links
        if len(self.circuit.rocks) == 1:
            self.composition[:, (*one.inner, *one.leaving)] = 1.0
            return
        rates: dict[tuple[int, int], Array] = {}
        for stream in one.inner:
            add(rates, links[stream].way, self.streams[:, stream].sum(axis=1))
        totals = {m: self.feeds[:, m].sum(axis=1) for m in one.machines}
        mixed = mix_loop(one.mix_plan, rates, totals, masses)
        for stream in (*one.inner, *one.leaving):
            self.composition[:, stream] = mixed[links[stream].source]

    # -- the proof ------------------------------------------------------------------------------

    def _closure(self) -> Array:
        """Largest error of a machine on any class, over the plant's feed, (B,)."""
        entering, leaving = ends(self.circuit.flowsheet.links, len(self.circuit.units))
        largest = np.zeros(self.cases)
        for machine, unit in enumerate(self.circuit.units):
            feed = self.feeds[:, machine]
            error = np.abs(self._sum(entering[machine]) - feed).max(axis=1)
            lost = feed - self._sum(leaving[machine])
            if isinstance(unit, Crusher):
                lost = lost.sum(axis=1, keepdims=True)
            largest = np.maximum(largest, np.maximum(error, np.abs(lost).max(axis=1)))
        return over(largest, self.circuit.rates_t_h.sum(axis=1), empty=largest)

    def _sum(self, streams: Sequence[int]) -> Array:
        """Streams together, (B, n)."""
        return sum((self.streams[:, s] for s in streams), start=np.zeros(self.feeds.shape[::2]))


def _join(results: Sequence[Balance]) -> Balance:
    """The cases of several passes as those of one balance."""
    joined: dict[str, Any] = {}
    for name in ("streams_t_h", "composition", "machine_feeds_t_h", "first_pass_t_h", "closure"):
        joined[name] = np.concatenate([getattr(r, name) for r in results])
    for name in ("deck_feeds_t_h", "cut_sizes_mm", "deck_moistures", "deck_clays"):
        by_deck = [getattr(r, name) for r in results]
        joined[name] = {key: np.concatenate([one[key] for one in by_deck]) for key in by_deck[0]}
    waters = [result.water for result in results]
    joined["water"] = Water(
        *(np.concatenate([getattr(w, f.name) for w in waters]) for f in fields(Water))
    )
    near = zip(*(r.runs_away_at for r in results), strict=True)
    joined["runs_away_at"] = tuple(np.concatenate(one) for one in near)
    return replace(results[0], iterations=max(r.iterations for r in results), **joined)
