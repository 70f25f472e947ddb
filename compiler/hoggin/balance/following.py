"""Crushers of a loop whose breakage follows their own feed: its F80, its rock, its rate.

Their operators depend on flows that depend on their operators. So what a crusher sees of its feed
joins the unknowns of the outer iteration, beside the screens' cut sizes: the logarithm of its F80,
what passes each class where its whole grading matters, how full it makes the chamber, and the
shares of the feeds in it where rock that breaks differently enters the loop at different places.
Whatever these are, the columns of an operator sum to 1 and the flows close.

An operator is linear in the filling. So what a full chamber adds to a starved one is found once,
and only where some chamber is not full.

Assumption: the rock that a chamber's capacity reads is that of the material entering the loop.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import accumulate, pairwise

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.breaking import (
    Fed,
    f80,
    fed_operator,
    passing_classes,
    shares_of,
    starved_operator,
)
from hoggin.balance.circuit import Circuit, Crusher
from hoggin.balance.elimination import add
from hoggin.balance.filling import filling
from hoggin.balance.loop import LoopFlow
from hoggin.balance.mixing import mix_loop
from hoggin.balance.operators import Operators
from hoggin.balance.result import Array
from hoggin.balance.separation import Separation
from hoggin.balance.topology import Part
from hoggin.models.points import in_halves

_ALIKE = 1e-12  # difference of two compositions that makes none
_FILLED = 0.05  # a full chamber as an unknown: a load moves cut sizes by about as much
_NOTHING = 1e-300  # feed, t/h, too small to have an F80


class Followers:
    """The following crushers of one loop. W numbers say what they see, for each of B cases."""

    def __init__(
        self,
        circuit: Circuit,
        part: Part,
        operators: Operators,
        masses: Mapping[int, Array],
    ) -> None:
        """operators: those of the loop's crushers, those of followers left open.

        masses: machine -> mass from each feed that reaches it from outside the loop, (B, K).
        """
        self.circuit = circuit
        self.part = part
        self.operators = operators
        self.masses = masses
        self.entering = shares_of(np.sum(list(masses.values()), axis=0))
        self._limits = len(circuit.cells) // 2 - 1  # of the classes, but the coarsest and 0
        self._crushers: dict[int, tuple[int, Crusher]] = {
            m: (c, unit)
            for c, m in enumerate(part.crushers)
            if isinstance(unit := circuit.units[m], Crusher) and (unit.follows or unit.follows_load)
        }
        self._sized = [m for m, (_, unit) in self._crushers.items() if unit.follows_size]
        self._graded = [m for m, (_, unit) in self._crushers.items() if unit.follows_grading]
        self._mixed = [m for m, (_, unit) in self._crushers.items() if unit.follows_rock]
        if all(self._as_entering(mass) for mass in masses.values()):
            self._mixed = []  # rock is the same all round the loop
        self._filled = [m for m, (_, unit) in self._crushers.items() if unit.follows_load]
        widths = (
            len(self._sized),
            len(self._graded) * self._limits,
            len(self._filled),
            len(self._mixed) * self.entering.shape[1],
        )
        ends = list(accumulate(widths, initial=0))
        self._of_each = [slice(first, last) for first, last in pairwise(ends)]
        self.width = ends[-1]
        refed = {*self._sized, *self._graded, *self._mixed}
        self._refed = [m for m in self._crushers if m in refed]
        # What those do not follow that follow their rock alone, the same all round the loop.
        none = np.zeros((circuit.cases, self._limits))
        self._unseen = Fed(np.ones(circuit.cases), self.entering, none, np.ones(1))
        for m, (_, unit) in self._crushers.items():
            if unit.follows and m not in refed:
                self._feed(m, self._unseen)

    def _as_entering(self, mass: Array) -> bool:
        carries = mass.sum(axis=1) > 0.0
        difference = np.abs(shares_of(mass) - self.entering).max(axis=1)
        return bool((difference[carries] <= _ALIKE).all())

    def start(self, entering: Array) -> Array:
        """(B, W) where each crusher gets what enters the loop, (B, n), with full chambers."""
        if not self.width:
            return np.empty((len(entering), 0))
        size = np.log(f80(self.circuit.edges_mm, in_halves(entering)))[:, None]
        return np.concatenate(
            [
                np.repeat(size, len(self._sized), axis=1),
                np.tile(passing_classes(entering), len(self._graded)),
                np.full((len(entering), len(self._filled)), _FILLED),
                *(self.entering for _ in self._mixed),
            ],
            axis=1,
        )

    @property
    def by_load_alone(self) -> bool:
        """Whether nothing matters of a crusher's feed but how much it is."""
        return not self._refed

    def operators_of(self, cases: NDArray[np.intp]) -> Operators:
        """The operators of some cases, each as often as it is named."""
        shared = not any(unit.follows for _, unit in self._crushers.values())
        return self.operators.of(cases, shared=shared)

    def _filling(self, m: int, fed_t_h: Array) -> Array:
        """How full (B,) t/h make a chamber."""
        _, unit = self._crushers[m]
        assert unit.full_from_t_h is not None
        return filling(unit.full_from_t_h, fed_t_h[:, None] * self.entering)

    def filled(self, seen: Array) -> dict[int, Array]:
        """How full chambers are, (B,), from (B, W)."""
        _, _, filled, _ = self._parts(seen)
        found = np.clip(filled / _FILLED, 0.0, 1.0)
        return dict(zip(self._filled, found.T, strict=True))

    def _parts(self, seen: Array) -> tuple[Array, Array, Array, Array]:
        """(B, W) as log sizes (B, s), passing (B, g, c), fillings (B, f) and shares (B, m, K)."""
        sizes, graded, filled, shares = (seen[:, some] for some in self._of_each)
        cases, feeds = len(seen), self.entering.shape[1]
        return (
            sizes,
            graded.reshape(cases, len(self._graded), self._limits),
            filled,
            shares.reshape(cases, len(self._mixed), feeds),
        )

    def set_operators(self, seen: Array) -> None:
        """Fill in the operators that (B, W) gives."""
        sizes, graded, _, shares = self._parts(seen)
        size = dict(zip(self._sized, np.exp(sizes).T, strict=True))
        passing = {m: graded[:, place] for place, m in enumerate(self._graded)}
        share = {
            m: shares_of(np.maximum(shares[:, place], 0.0)) for place, m in enumerate(self._mixed)
        }
        filled, unseen = self.filled(seen), self._unseen
        for m in self._refed:
            fed = Fed(
                size.get(m, unseen.f80_mm),
                share.get(m, unseen.rock_shares),
                passing.get(m, unseen.passing),
                filled.get(m, unseen.filling),
            )
            self._feed(m, fed)
        self._fill({m: full for m, full in filled.items() if m not in self._refed})

    def _feed(self, m: int, fed: Fed) -> None:
        """Fill in the operators of a crusher by what it is fed."""
        place, unit = self._crushers[m]
        self.operators.full[:, place] = fed_operator(unit, self.circuit.cells, fed)

    def _fill(self, filled: Mapping[int, Array]) -> None:
        """Set how full (B,) the chambers of crushers are whose full ones have known operators."""
        full, added = self.operators.full, dict(self.operators.added)
        for m, some in filled.items():
            place, _ = self._crushers[m]
            if place not in added and (some != 1.0).any():
                starved = self._starved(m)
                added[place] = full[: len(starved), place] - starved
        by_place = {self._crushers[m][0]: some for m, some in filled.items()}
        self.operators = Operators(full, added).filled(by_place)

    def _starved(self, m: int) -> Array:
        _, unit = self._crushers[m]
        cells = self.circuit.cells
        if not unit.follows:
            return starved_operator(unit, cells)
        return fed_operator(unit, cells, replace(self._unseen, filling=np.zeros(1)))

    def see(self, flow: LoopFlow, at: Mapping[int, Separation], seen: Array, times: Array) -> Array:
        """(B, W) under (1 or B,) times these flows; as it was where nothing reaches a crusher."""
        found = seen.copy()
        sizes, graded, filled, shares = self._parts(found)
        for place, m in enumerate(self._sized):
            feed = np.maximum(flow.feeds[m], 0.0)
            size = np.log(f80(self.circuit.edges_mm, in_halves(feed)))
            sizes[:, place] = np.where(_some(feed), size, sizes[:, place])
        for place, m in enumerate(self._graded):
            feed = flow.feeds[m]
            passing = passing_classes(feed)
            graded[:, place] = np.where(_some(feed)[:, None], passing, graded[:, place])
        for place, m in enumerate(self._filled):
            fed = times * np.maximum(flow.feeds[m], 0.0).sum(axis=1)
            filled[:, place] = _FILLED * self._filling(m, fed)
        mixtures = self._mixtures(flow, at) if self._mixed else {}
        for place, m in enumerate(self._mixed):
            some = _some(flow.feeds[m])[:, None]
            shares[:, place] = np.where(some, mixtures[m], shares[:, place])
        cases = len(seen)
        return np.concatenate(
            [sizes, graded.reshape(cases, -1), filled, shares.reshape(cases, -1)], axis=1
        )

    def _mixtures(self, flow: LoopFlow, at: Mapping[int, Separation]) -> dict[int, Array]:
        """Shares of the feeds (B, K) of each machine's feed."""
        rates: dict[tuple[int, int], Array] = {}
        for stream in self.part.inner:
            link = self.circuit.flowsheet.links[stream]
            add(rates, link.way, flow.leaving(link, at).sum(axis=1))
        totals = {m: flow.feeds[m].sum(axis=1) for m in self.part.machines}
        return mix_loop(self.part.mix_plan, rates, totals, self.masses)


def _some(feed_t_h: Array) -> Array:
    """Cases (B,) whose feed (B, n) has a grading."""
    return np.asarray(feed_t_h.sum(axis=1) > _NOTHING)
