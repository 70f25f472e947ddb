"""From a circuit to its balance: part by part in the order material reaches them.

A part that is one machine is applied once, a loop is settled as a whole (`loading`). The bulk
density that a screen's cut size reads is that of the machine's own feed, volumes adding.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields, replace
from typing import Any

import numpy as np

from hoggin.balance.breaking import Fed, fed_operator, operators, shares_of, starved_operator
from hoggin.balance.circuit import Circuit, Crusher, Demand, Screen, Splitter, lower, rows_of, take
from hoggin.balance.elimination import add
from hoggin.balance.filling import filling
from hoggin.balance.loading import TOLERANCE, sent_on, settle_loop
from hoggin.balance.loop import LoopFlow
from hoggin.balance.mixing import mix_loop, normalise
from hoggin.balance.operators import Operators
from hoggin.balance.recirculation import first_pass
from hoggin.balance.result import Balance, Loop, Water
from hoggin.balance.separation import Separation, divide, load_and_separate, rock_of, split
from hoggin.balance.settle import CannotSettle, refuse_flooded
from hoggin.balance.topology import Part, ends
from hoggin.balance.water import part_water, settle_water
from hoggin.models.arrays import Array, over
from hoggin.models.points import in_halves
from hoggin.schema.plant import Plant

_PASS = 12_000_000  # numbers of operators or flows held at a time: more are no faster


def balance(plant: Plant) -> Balance:
    """Balance one plant: a batch of one case. Raises CannotSettle."""
    return solve(lower(plant))


def solve(circuit: Circuit, tolerance: float = TOLERANCE) -> Balance:
    """Balance all cases of a circuit, cut sizes to a relative tolerance.

    Raises CannotSettle, naming the loop and the cases, when a loop has no steady balance.
    """
    cells = len(circuit.cells)
    varied = sum(
        isinstance(unit, Crusher) and (unit.follows or rows_of(unit.arguments) > 1)
        for unit in circuit.units
    )
    size = max(1, _PASS // max(1, cells * max(varied * cells, len(circuit.flowsheet.links))))
    if size >= circuit.cases:
        return _Solution(circuit, tolerance).balance()
    results = []
    for first in range(0, circuit.cases, size):
        cases = slice(first, min(first + size, circuit.cases))
        try:
            results.append(_Solution(take(circuit, cases), tolerance).balance())
        except CannotSettle as fault:
            numbered = tuple(case + first for case in fault.unsettled.cases)
            raise CannotSettle(replace(fault.unsettled, cases=numbered)) from None
    return _join(results)


class _Solution:
    """The arrays of one pass, filled part by part."""

    def __init__(self, circuit: Circuit, tolerance: float) -> None:
        self.tolerance = tolerance
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
        for one in sheet.parts:
            if one.is_loop:
                self._loop(one)
            else:
                self._machine(one)
        carrying = self.streams.max(axis=2, keepdims=True) > 0.0
        return Balance(
            machines=sheet.machines,
            edges_mm=self.circuit.edges_mm,
            streams_t_h=in_halves(self.streams),
            water=self._water(),
            composition=self.composition * carrying,
            machine_feeds_t_h=in_halves(self.feeds),
            first_pass_t_h=self.first_pass,
            filling=self._filling(),
            deck_feeds_t_h={key: in_halves(load) for key, load in self.deck_feeds.items()},
            cut_sizes_mm=self.cut_sizes,
            deck_moistures=self.moistures,
            deck_clays=self.clays,
            runs_away_at=tuple(self.runs_away_at),
            loops=tuple(self._named(one) for one in sheet.parts if one.is_loop),
            iterations=self.iterations,
            closure=self._closure(),
            error=np.full(self.cases, np.nan),
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

    def _reached(self, one: Part) -> tuple[slice, Circuit]:
        """The classes that reach a part, as places and as the circuit on them alone: rock is never
        made coarser."""
        carried = self.streams[:, one.entering].any(axis=(0, 1))
        first = int(np.argmax(carried)) // 2
        cells = self.circuit.cells.from_class(first)
        return slice(2 * first, None), replace(self.circuit, cells=cells)

    # -- a machine on its own -------------------------------------------------------------------

    def _machine(self, one: Part) -> None:
        (machine,) = one.machines
        unit = self.circuit.units[machine]
        here, circuit = self._reached(one)
        feed = self._sum(one.entering)[:, here]
        mass = self._entering_mass(one.entering)
        self.feeds[:, machine, here] = feed
        self.first_pass[:, machine] = feed.sum(axis=1)
        self.composition[:, one.leaving] = normalise(mass)[:, None]
        wetting, wet = self.circuit.wettings[machine], self.water[:, one.entering].sum(axis=1)
        if isinstance(unit, Crusher):
            product = self._crushed(circuit, unit, feed, mass, one)
            self.streams[:, one.leaving[0], here] = product
            self.water[:, one.leaving[0]] = wet + wetting.added_t_h[:, 0]
            return
        if isinstance(unit, Splitter):
            separation = split(unit)
        elif isinstance(unit, Demand):
            separation = divide(unit, self.first_pass[:, machine])
        else:
            rock = rock_of(mass, self.circuit)
            cuts, moistures, separation = load_and_separate(
                unit, circuit.cells, feed, rock, wetting, wet
            )
            self._record_decks(machine, here, cuts, moistures, rock.clay, separation)
        solids = [(feed * share).sum(axis=1) for share in separation.outlets]
        parted = part_water(unit, wetting, wet, solids).outlets
        for stream in one.leaving:
            outlet = self.circuit.flowsheet.links[stream].outlet
            self.streams[:, stream, here] = feed * separation.outlets[outlet]
            self.water[:, stream] = parted[outlet].at(wet)

    @staticmethod
    def _crushed(circuit: Circuit, unit: Crusher, feed: Array, mass: Array, one: Part) -> Array:
        """Product (B, n) of a crusher under its feed (B, n), of which (B, K) is from each of the
        plant's."""
        cells, full = circuit.cells, operators(circuit, one)[:, 0]
        filled = np.ones(len(feed))
        if unit.follows_load and unit.full_from_t_h is not None:
            filled = filling(unit.full_from_t_h, mass)
        if unit.follows:
            fed = Fed.of(cells, feed, shares_of(mass), filled)
            full, filled = fed_operator(unit, cells, fed), np.ones(1)
        product = _applied(full, feed)
        if (filled == 1.0).all():
            return product
        starved = _applied(starved_operator(unit, cells), feed)
        return np.asarray(starved + filled[:, None] * (product - starved))

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
        self,
        machine: int,
        here: slice,
        cuts: Array,
        moistures: Array,
        clay: Array,
        separation: Separation,
    ) -> None:
        tag, unit = self.circuit.flowsheet.machines[machine], self.circuit.units[machine]
        decks = unit.decks if isinstance(unit, Screen) else ()
        for number, deck in enumerate(decks):
            self.cut_sizes[tag, deck.name] = cuts[:, number]
            self.moistures[tag, deck.name] = moistures[:, number]
            self.clays[tag, deck.name] = clay
            load = self.deck_feeds[tag, deck.name] = np.zeros_like(self.feeds[:, machine])
            load[:, here] = self.feeds[:, machine, here] * separation.reaching[number]

    # -- a loop ---------------------------------------------------------------------------------

    def _loop(self, one: Part) -> None:
        here, circuit = self._reached(one)
        chambers = Operators(operators(circuit, one))
        inputs = self._by_target(one.entering, self.streams[:, one.entering, here])
        masses = self._by_target(one.entering, self._masses(one.entering))
        water = self._by_target(one.entering, self.water[:, one.entering])
        if not inputs:
            inputs = {one.machines[0]: self.feeds[:, one.machines[0]]}
            masses = {one.machines[0]: self._entering_mass(one.entering)}
            water = {one.machines[0]: np.zeros(self.cases)}
        loop = self._named(one)
        settled = settle_loop(circuit, one, loop, chambers, inputs, masses, water, self.tolerance)
        self.iterations = max(self.iterations, settled.iterations)
        self.runs_away_at.append(settled.runs_away_at)
        self._record_loop(one, here, settled.separations, settled.flow)
        streams, _ = settle_water(circuit, one, settled.flow, settled.separations, water)
        for stream, left in streams.items():
            self.water[:, stream] = left
        added = (self.circuit.wettings[machine].added_t_h.sum(axis=1) for machine in one.machines)
        coming = sum(added, start=self.water[:, one.entering].sum(axis=1))
        refuse_flooded(loop, coming, self.water[:, one.leaving].sum(axis=1))
        weights = sent_on(circuit, one, settled.separations)
        links = circuit.flowsheet.links
        first = first_pass(one, links, settled.operators, weights, inputs, self.cases)
        for machine, reaching in first.items():
            self.first_pass[:, machine] = reaching
        clay = rock_of(self._entering_mass(one.entering), self.circuit).clay
        for machine, cuts in settled.cut_sizes_mm.items():
            moistures = settled.moistures[machine]
            self._record_decks(machine, here, cuts, moistures, clay, settled.separations[machine])
        self._mix(one, masses)

    def _by_target(self, streams: Sequence[int], values: Array) -> dict[int, Array]:
        """Values (B, s, ...) of s streams, summed over the machine they go to."""
        sums: dict[int, Array] = {}
        for place, stream in enumerate(streams):
            add(sums, self.circuit.flowsheet.links[stream].target, values[:, place])
        return sums

    def _record_loop(
        self, one: Part, here: slice, at: Mapping[int, Separation], state: LoopFlow
    ) -> None:
        for machine in one.machines:
            self.feeds[:, machine, here] = state.feeds[machine]
        for stream in (*one.inner, *one.leaving):
            link = self.circuit.flowsheet.links[stream]
            self.streams[:, stream, here] = state.leaving(link, at)

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

    def _filling(self) -> Array:
        """How full each chamber is, (B, M)."""
        entering, _ = ends(self.circuit.flowsheet.links, len(self.circuit.units))
        found = np.ones(self.feeds.shape[:2])
        for machine, unit in enumerate(self.circuit.units):
            if isinstance(unit, Crusher) and unit.full_from_t_h is not None:
                mass = self._entering_mass(entering[machine])
                found[:, machine] = filling(unit.full_from_t_h, mass)
        return found

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


def _applied(operator: Array, feed: Array) -> Array:
    """Product (B, n) of feeds (B, n) by operators (1 or B, n, n)."""
    product: Array = (operator @ feed[:, :, None])[:, :, 0]
    return product


def _join(results: Sequence[Balance]) -> Balance:
    """The cases of several passes as those of one balance."""
    joined: dict[str, Any] = {}
    for name in (
        "streams_t_h",
        "composition",
        "machine_feeds_t_h",
        "first_pass_t_h",
        "filling",
        "closure",
        "error",
    ):
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
