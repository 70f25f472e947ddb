"""Decks of a loop whose separation depends on the moisture of their feed.

That moisture depends on flows that depend on the separation. So where water is added within a loop,
or drained, or feeds of unlike moisture enter, the moistures of the decks that are screened dry join
the unknowns of the outer iteration. Elsewhere all rock in the loop has the moisture it enters with.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from hoggin.balance.circuit import Circuit, Screen
from hoggin.balance.loop import LoopFlow
from hoggin.balance.result import Array
from hoggin.balance.separation import Rock, Separation, rock_of
from hoggin.balance.topology import Part
from hoggin.balance.water import settle_water
from hoggin.models.arrays import over

_ALIKE = 1e-12  # difference of two moistures that makes none


class Dampness:
    """What the decks of one loop are fed beside sizes. `width` moistures are unknown, for each of
    B cases."""

    def __init__(
        self,
        circuit: Circuit,
        part: Part,
        inputs: Mapping[int, Array],
        masses: Mapping[int, Array],
        water: Mapping[int, Array],
    ) -> None:
        """inputs, masses, water: machine -> what reaches it from outside the loop, (B, n) by class,
        (B, K) by feed, and as water (B,)."""
        self._given = (circuit, part, water)
        self._rock = rock_of(np.sum(list(masses.values()), axis=0), circuit)
        solids = {m: flow.sum(axis=1) for m, flow in inputs.items()}
        self._entering = over(
            np.sum(list(water.values()), axis=0), np.sum(list(solids.values()), axis=0), empty=0.0
        )
        self._screens = [m for m in part.machines if isinstance(circuit.units[m], Screen)]
        columns = [circuit.wettings[m].washed for m in self._screens]
        washed = [np.broadcast_to(one, (circuit.cases, one.shape[1])) for one in columns]
        self._dry = ~np.concatenate([np.empty((circuit.cases, 0), dtype=bool), *washed], axis=1)
        reading = [
            deck.reads_moisture or "moisture" in deck.cut_size_reads
            for m in self._screens
            if isinstance(unit := circuit.units[m], Screen)
            for deck in unit.decks
        ]
        moving = np.flatnonzero(self._dry.any(axis=0) & np.array(reading, dtype=bool))
        self._moving = moving[:0] if self._is_even(solids) else moving
        self.width = len(self._moving)

    def _is_even(self, solids: Mapping[int, Array]) -> bool:
        """Whether all rock in the loop has the moisture that it enters with."""
        circuit, part, water = self._given
        for m in part.machines:
            wetting = circuit.wettings[m]
            if wetting.added_t_h.any() or (wetting.held < self._entering[:, None]).any():
                return False
        uneven = (np.abs(water[m] - solids[m] * self._entering) for m in solids)
        return all((one <= _ALIKE * solids[m]).all() for m, one in zip(solids, uneven, strict=True))

    def start(self) -> Array:
        """(B, W) where all rock has the moisture that it enters with."""
        return np.repeat(self._entering[:, None], self.width, axis=1)

    def rock(self, moistures: Array) -> Rock:
        """What the decks read, with the unknown moistures (B, W) given."""
        every = np.repeat(self._entering[:, None], self._dry.shape[1], axis=1)
        every[:, self._moving] = moistures
        return replace(self._rock, moistures=np.where(self._dry, every, 0.0))

    def see(self, flow: LoopFlow, at: Mapping[int, Separation]) -> Array:
        """(B, W) under these flows."""
        if not self.width:
            return np.empty((len(self._entering), 0))
        _, decks = settle_water(*self._given[:2], flow, at, self._given[2])
        every = np.concatenate([decks[m] for m in self._screens], axis=1)
        return every[:, self._moving]
