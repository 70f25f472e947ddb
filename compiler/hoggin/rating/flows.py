"""One case of a balance, read by name: flows, gradings and mixtures of streams and machines."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from hoggin.balance.result import Array, Balance
from hoggin.balance.water import Water, water
from hoggin.models import grading
from hoggin.rating.material import Mixture, mixture
from hoggin.schema.plant import Machine, Plant, Stream

_EMPTY_T_H = 1e-9
_TOP_FRACTION = 0.98  # the coarsest 2 % is left to the sorting of slabs; common practice, no source


@dataclass(frozen=True)
class Flow:
    """Mass flow by size class (n,), t/h, with the grid's edges (n + 1,), mm."""

    edges_mm: Array
    mass_t_h: Array

    @property
    def rate_t_h(self) -> float:
        return float(self.mass_t_h.sum())

    @property
    def empty(self) -> bool:
        return self.rate_t_h < _EMPTY_T_H

    def passing(self, size_mm: float) -> float:
        """Fraction finer than a size; 0 for an empty flow."""
        if self.empty:
            return 0.0
        size = np.array([size_mm])
        return float(grading.passing_at(self.edges_mm, self.mass_t_h[None, :], size)[0])

    def size_at(self, fraction: float) -> float | None:
        """Size that a fraction passes, mm; None for an empty flow, or below the finest sieve."""
        if self.empty:
            return None
        size = grading.size_at(self.edges_mm, self.mass_t_h[None, :], np.array([fraction]))[0]
        return None if size < self.edges_mm[-2] else float(size)

    @property
    def p80_or_finest_mm(self) -> float:
        """P80 for Bond's law, which needs a size: the finest sieve where P80 lies below it."""
        return self.size_at(0.8) or float(self.edges_mm[-2])

    @property
    def top_size_mm(self) -> float | None:
        return self.size_at(_TOP_FRACTION)

    def curve(self) -> tuple[tuple[float, float], ...]:
        """(size mm, fraction passing) at the grid's edges but the pan's."""
        if self.empty:
            return ()
        finer = grading.passing(self.edges_mm, self.mass_t_h[None, :])[0]
        pairs = zip(self.edges_mm[:-1], finer[:-1], strict=True)
        return tuple((float(size), float(share)) for size, share in pairs)


@dataclass(frozen=True)
class Flows:
    """A plant with one case of its balance."""

    plant: Plant
    balance: Balance
    case: int = 0
    _into: dict[str, list[int]] = field(default_factory=dict, init=False)
    _from: dict[str, list[int]] = field(default_factory=dict, init=False)

    def __post_init__(self) -> None:
        for index, stream in enumerate(self.plant.streams):
            self._into.setdefault(stream.target, []).append(index)
            self._from.setdefault(stream.source, []).append(index)

    def _sum(self, streams: Iterable[int]) -> Flow:
        chosen = list(streams)
        mass = self.balance.streams_t_h[self.case, chosen].sum(axis=0)
        return Flow(self.balance.edges_mm, mass)

    def stream(self, index: int) -> Flow:
        return self._sum([index])

    def into(self, tag: str) -> Flow:
        """Everything that runs into a machine or product."""
        return self._sum(self._into.get(tag, []))

    def out_of(self, tag: str) -> Flow:
        """Everything that leaves a machine or feed."""
        return self._sum(self._from.get(tag, []))

    def deck(self, machine: str, deck: str) -> Flow:
        mass = self.balance.deck_feeds_t_h[(machine, deck)][self.case]
        return Flow(self.balance.edges_mm, mass)

    def deck_oversize(self, machine: Machine, deck: str) -> Flow:
        outlet = f"{deck}.over"
        return self._sum(
            index for index in self._from[machine.tag] if self._named(index).outlet == outlet
        )

    def _named(self, index: int) -> Stream:
        return self.plant.streams[index]

    @cached_property
    def water(self) -> Water:
        return water(self.plant, self.balance)

    def water_t_h(self, index: int) -> float:
        """Water in a stream."""
        return float(self.water.streams_t_h[self.case, index])

    def moisture_into(self, tag: str) -> float:
        """Water over dry solids of what runs into a machine or product; 0 for nothing."""
        wet = sum(self.water_t_h(index) for index in self._into.get(tag, []))
        flow = self.into(tag)
        return 0.0 if flow.empty else wet / flow.rate_t_h

    def feed_mixture(self, tag: str) -> Mixture:
        """The mixture that runs into a machine."""
        return mixture(self.plant, self._material_rates(tag))

    def material_shares(self, tag: str) -> dict[str, float]:
        """Mass share of each material in what runs into a machine; empty where nothing does."""
        rates = self._material_rates(tag)
        total = float(rates.sum())
        if total < _EMPTY_T_H:
            return {}
        names = sorted(self.plant.materials)
        return {name: float(rate) / total for name, rate in zip(names, rates, strict=True)}

    def _material_rates(self, tag: str) -> Array:
        chosen = self._into.get(tag, [])
        rates = self.balance.streams_t_h[self.case, chosen].sum(axis=1)
        shares = self.balance.composition[self.case, chosen]
        by_material: Array = (rates[:, None] * shares).sum(axis=0)
        return by_material

    @property
    def plant_feed_t_h(self) -> float:
        return sum(feed.rate_t_h for feed in self.plant.feeds)
