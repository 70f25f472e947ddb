"""The plant's water: what comes with the feeds and from sprays, and which stream it leaves with.

The solids are known by then. Water goes with them pro rata, except that a coarse outlet that
drains (a sprayed deck, a dewatering screen, a classifier, a thickener) keeps no more than the
moisture its class says stays on that product; the rest goes on with what passes. Inside a loop the
flows are repeated until they no longer change.

Source: conservation of mass; the retained moistures are the classes' own.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoggin.balance.numbers import PLAIN, Numbers
from hoggin.balance.result import Balance
from hoggin.balance.topology import Part, ends, read_flowsheet
from hoggin.models.arrays import Array, over
from hoggin.schema.kinds import KINDS
from hoggin.schema.plant import Deck, Machine, Plant

_TOLERANCE = 1e-12  # of the water entering the plant
_MOST_ROUNDS = 20_000  # a recirculating load of a thousand settles within this


@dataclass(frozen=True, slots=True)
class Water:
    """Water by stream (B, S), t/h, in the order of `Plant.streams`, and where it comes from, (B,).

    Of `with_feeds` + `added`, all leaves with the products.
    """

    streams_t_h: Array
    with_feeds_t_h: Array
    added_t_h: Array


def water(plant: Plant, balance: Balance, numbers: Numbers = PLAIN) -> Water:
    """The water of a balanced plant in all its cases."""
    return _Water(plant, balance, numbers).settled()


def added_t_h(machine: Machine, numbers: Numbers = PLAIN) -> Array:
    """Spray and dilution water of a machine, (B,) or (1,); a cubic metre weighs a tonne."""
    added = numbers.fact(machine, "added_water_m3_h")
    sprays = [_spray(machine, deck, numbers) for deck in machine.decks]
    diluting = np.zeros(1) if added is None else added * numbers.count(machine)
    return sum(sprays, start=diluting)


def _spray(machine: Machine, deck: Deck, numbers: Numbers) -> Array:
    path = ("machines", machine.tag, "decks", deck.name, "spray_m3_h")
    return numbers.of(path, deck.spray_m3_h) * numbers.count(machine)


class _Water:
    """Water of every stream, (B, S), filled part by part as the mass balance was."""

    def __init__(self, plant: Plant, balance: Balance, numbers: Numbers) -> None:
        self.plant, self.balance, self.numbers = plant, balance, numbers
        self.sheet = read_flowsheet(plant)
        self.solids = balance.streams_t_h.sum(axis=2)
        self.flows = np.zeros_like(self.solids)
        into, out_of = ends(self.sheet.links, len(plant.machines))
        self.into = into
        self.out_of = [sorted(streams, key=self._outlet_of) for streams in out_of]

    def _outlet_of(self, stream: int) -> int:
        return self.sheet.links[stream].outlet

    def settled(self) -> Water:
        with_feeds = np.zeros(len(self.solids))
        for index, link in enumerate(self.sheet.links):
            if link.source < 0:
                feed = self.plant.feeds[-1 - link.source]
                moisture = self.numbers.of_load(self.plant, feed, "moisture")
                self.flows[:, index] = self.solids[:, index] * moisture
                with_feeds += self.flows[:, index]
        added = sum(
            (added_t_h(machine, self.numbers) for machine in self.plant.machines),
            start=np.zeros(len(self.solids)),
        )
        entering = with_feeds + added
        for part in self.sheet.parts:
            self._settle(part, float(entering.max(initial=0.0)))
        return Water(self.flows, with_feeds, added)

    def _settle(self, part: Part, entering: float) -> None:
        """Water of one part's streams; a loop round after round from nothing upwards."""
        for _ in range(_MOST_ROUNDS if part.is_loop else 1):
            change = 0.0
            for number in part.machines:
                streams = self.out_of[number]
                wet = self.flows[:, self.into[number]].sum(axis=1)
                outlets = self._outlets(self.plant.machines[number], wet, self.solids[:, streams])
                for stream, left in zip(streams, outlets, strict=True):
                    change = max(change, float(np.abs(left - self.flows[:, stream]).max()))
                    self.flows[:, stream] = left
            if change <= _TOLERANCE * entering:
                return

    def _outlets(self, machine: Machine, wet: Array, solids: Array) -> list[Array]:
        """Water (B,) leaving by each outlet, for water (B,) coming in and solids (B, outlets)
        out."""
        if machine.decks:
            return self._down_the_decks(machine, wet, solids)
        wet = wet + added_t_h(machine, self.numbers)
        if KINDS[machine.kind].drains:
            coarse = self._drained(machine, wet, solids[:, 0], solids.sum(axis=1))
            return [coarse, wet - coarse]
        if len(machine.outlets) == 1:
            return [wet]
        total = solids.sum(axis=1)
        return [
            wet * over(solid, total, empty=machine.share_of_little(outlet))
            for outlet, solid in zip(machine.outlets, solids.T, strict=True)
        ]

    def _down_the_decks(self, machine: Machine, wet: Array, solids: Array) -> list[Array]:
        by_outlet = dict(zip(machine.outlets, solids.T, strict=True))
        left: dict[str, Array] = {}
        for deck in machine.decks:
            wet = wet + _spray(machine, deck, self.numbers)
            onto = self.balance.deck_feeds_t_h[(machine.tag, deck.name)].sum(axis=-1)
            over = self._drained(machine, wet, by_outlet[f"{deck.name}.over"], onto)
            left[f"{deck.name}.over"] = over
            wet = wet - over
        left["under"] = wet
        return [left[outlet] for outlet in machine.outlets]

    def _drained(self, machine: Machine, wet: Array, coarse: Array, feed: Array) -> Array:
        """Water that stays with a coarse outlet: pro rata, but no more than it can hold."""
        kept = wet * over(coarse, feed, empty=0.0)
        held = self.numbers.fact(machine, "retained_moisture")
        return kept if held is None else np.minimum(kept, held * coarse)
