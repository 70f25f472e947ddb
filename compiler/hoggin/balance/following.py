"""Crushers of a loop whose breakage follows their own feed: its F80, its rock.

Their operators depend on flows that depend on their operators. So what a crusher sees of its feed
joins the unknowns of the outer iteration, beside the screens' cut sizes: the logarithm of its F80,
what passes each class where its whole grading matters, and the shares of the feeds in it where rock
that breaks differently enters the loop at different places. Whatever these are,
the columns of an operator sum to 1 and the flows close.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from hoggin.balance.breaking import f80, fed_operator, passing_classes, shares_of
from hoggin.balance.circuit import Circuit, Crusher
from hoggin.balance.elimination import add
from hoggin.balance.loop import LoopFlow
from hoggin.balance.mixing import mix_loop
from hoggin.balance.result import Array
from hoggin.balance.separation import Separation
from hoggin.balance.topology import Part
from hoggin.models.points import in_halves

_ALIKE = 1e-12  # difference of two compositions that makes none
_NOTHING = 1e-300  # feed, t/h, too small to have an F80


class Followers:
    """The following crushers of one loop. W numbers say what they see, for each of B cases."""

    def __init__(
        self, circuit: Circuit, part: Part, operators: Array, masses: Mapping[int, Array]
    ) -> None:
        """operators: (B, c, n, n) of the loop's crushers, those of followers left open.

        masses: machine -> mass from each feed that reaches it from outside the loop, (B, K).
        """
        self.circuit = circuit
        self.part = part
        self.operators = operators
        self.masses = masses
        self.entering = shares_of(np.sum(list(masses.values()), axis=0))
        self._no_size = np.ones(circuit.cases)  # for those that do not follow it
        self._limits = len(circuit.cells) // 2 - 1  # of the classes, but the coarsest and 0
        self._no_grading = np.zeros((circuit.cases, self._limits))
        self._crushers: dict[int, tuple[int, Crusher]] = {
            m: (c, unit)
            for c, m in enumerate(part.crushers)
            if isinstance(unit := circuit.units[m], Crusher) and unit.follows
        }
        self._sized = [m for m, (_, unit) in self._crushers.items() if unit.follows_size]
        self.graded = [m for m, (_, unit) in self._crushers.items() if unit.follows_grading]
        self._mixed = [m for m, (_, unit) in self._crushers.items() if unit.follows_rock]
        if all(self._as_entering(mass) for mass in masses.values()):
            self._mixed = []  # rock is the same all round the loop
        moving = {*self._sized, *self.graded, *self._mixed}
        self.moving = [m for m in self._crushers if m in moving]
        self._before_shares = len(self._sized) + len(self.graded) * self._limits
        self.width = self._before_shares + len(self._mixed) * self.entering.shape[1]
        for m in self._crushers.keys() - moving:
            self._set_operator(m, {}, {}, {})

    def _as_entering(self, mass: Array) -> bool:
        carries = mass.sum(axis=1) > 0.0
        difference = np.abs(shares_of(mass) - self.entering).max(axis=1)
        return bool((difference[carries] <= _ALIKE).all())

    def start(self, entering: Array) -> Array:
        """(B, W) where each crusher gets what enters the loop, (B, n)."""
        if not self.width:
            return np.empty((len(entering), 0))
        size = np.log(f80(self.circuit.edges_mm, in_halves(entering)))[:, None]
        graded = np.tile(passing_classes(entering), len(self.graded))
        mixed = (self.entering for _ in self._mixed)
        return np.concatenate([np.repeat(size, len(self._sized), axis=1), graded, *mixed], axis=1)

    def set_operators(self, seen: Array) -> None:
        """Fill in the operators that (B, W) gives."""
        sizes, passing, shares = self._read(seen)
        for m in self.moving:
            self._set_operator(m, sizes, passing, shares)

    def _set_operator(
        self,
        m: int,
        sizes: Mapping[int, Array],
        passing: Mapping[int, Array],
        shares: Mapping[int, Array],
    ) -> None:
        place, unit = self._crushers[m]
        size = sizes.get(m, self._no_size)
        finer = passing.get(m, self._no_grading)
        share = shares.get(m, self.entering)
        self.operators[:, place] = fed_operator(unit, self.circuit.cells, size, share, finer)

    def _read(self, seen: Array) -> tuple[dict[int, Array], dict[int, Array], dict[int, Array]]:
        """F80 (B,), passing by class and shares of the feeds (B, K) by crusher, from (B, W)."""
        count, before, feeds = len(self._sized), self._before_shares, self.entering.shape[1]
        sizes = dict(zip(self._sized, np.exp(seen[:, :count]).T, strict=True))
        graded = seen[:, count:before].reshape(len(seen), len(self.graded), self._limits)
        passing = {m: graded[:, place] for place, m in enumerate(self.graded)}
        rest = seen[:, before:].reshape(len(seen), -1, feeds)
        shares = {
            m: shares_of(np.maximum(rest[:, place], 0.0)) for place, m in enumerate(self._mixed)
        }
        return sizes, passing, shares

    def see(self, flow: LoopFlow, at: Mapping[int, Separation], seen: Array) -> Array:
        """(B, W) under these flows; as it was where nothing reaches a crusher."""
        found = seen.copy()
        for place, m in enumerate(self._sized):
            feed = np.maximum(flow.feeds[m], 0.0)
            size = np.log(f80(self.circuit.edges_mm, in_halves(feed)))
            found[:, place] = np.where(feed.sum(axis=1) > _NOTHING, size, seen[:, place])
        for place, m in enumerate(self.graded):
            first = len(self._sized) + place * self._limits
            columns = slice(first, first + self._limits)
            some = flow.feeds[m].sum(axis=1, keepdims=True) > _NOTHING
            found[:, columns] = np.where(some, passing_classes(flow.feeds[m]), seen[:, columns])
        if self._mixed:
            mixtures = self._mixtures(flow, at)
            shares = found[:, self._before_shares :].reshape(len(seen), len(self._mixed), -1)
            for place, m in enumerate(self._mixed):
                some = flow.feeds[m].sum(axis=1) > _NOTHING
                shares[:, place] = np.where(some[:, None], mixtures[m], shares[:, place])
            found[:, self._before_shares :] = shares.reshape(len(seen), -1)
        return found

    def _mixtures(self, flow: LoopFlow, at: Mapping[int, Separation]) -> dict[int, Array]:
        """Shares of the feeds (B, K) of each machine's feed."""
        rates: dict[tuple[int, int], Array] = {}
        for stream in self.part.inner:
            link = self.circuit.flowsheet.links[stream]
            add(rates, link.way, flow.leaving(link, at).sum(axis=1))
        totals = {m: flow.feeds[m].sum(axis=1) for m in self.part.machines}
        return mix_loop(self.part.mix_plan, rates, totals, self.masses)
