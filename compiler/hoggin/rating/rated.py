"""A balanced plant in all its cases, by name: flows, mixtures, water, and the views of its parts.

A single plant is a batch of one. Everything here is computed once, and only if it is requested.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from hoggin.balance.circuit import Circuit, lower
from hoggin.balance.numbers import PLAIN, Numbers
from hoggin.balance.result import Array, Balance, Water
from hoggin.models import catalog
from hoggin.models.arrays import over
from hoggin.rating.flow import Flow
from hoggin.schema.plant import Machine, Plant

if TYPE_CHECKING:
    from hoggin.rating.cost import Allocation
    from hoggin.rating.machines import MachineView
    from hoggin.rating.overload import Overload
    from hoggin.rating.plant import PlantView
    from hoggin.rating.shape import Shapes
    from hoggin.rating.tramp import Arrival


@dataclass(frozen=True, slots=True)
class Mixture:
    """Solid and bulk density in t/m3, work index in kWh/t; each (B,)."""

    solid_density_t_m3: Array
    bulk_density_t_m3: Array
    work_index_kwh_t: Array


class Rated:
    """B balanced cases of a plant. `numbers` holds what differs between them.

    `circuit` is that of the cases; the plant's own where it is left out.
    """

    def __init__(
        self,
        plant: Plant,
        balance: Balance,
        numbers: Numbers = PLAIN,
        circuit: Circuit | None = None,
    ) -> None:
        self.plant = plant
        self.balance = balance
        self.numbers = numbers
        self._circuit = circuit
        self._into: dict[str, list[int]] = {}
        self._from: dict[str, list[int]] = {}
        self._by: dict[tuple[str, str], list[int]] = {}
        for index, stream in enumerate(plant.streams):
            self._by.setdefault((stream.source, stream.outlet), []).append(index)
            self._into.setdefault(stream.target, []).append(index)
            self._from.setdefault(stream.source, []).append(index)
        self._flows: dict[tuple[str, str], Flow] = {}
        self._mixtures: dict[str, Mixture] = {}
        self._machines: dict[str, MachineView] = {}

    @cached_property
    def circuit(self) -> Circuit:
        return self._circuit or lower(self.plant, self.balance.edges_mm)

    def forget(self) -> None:
        """Drop all that was computed. Views and what they are of point at each other, and the
        arrays of a study are too large to wait for the garbage collector."""
        for kept in (self._flows, self._mixtures, self._machines):
            kept.clear()
        for name in ("view", "shapes", "circuit", "tramp", "overload", "allocation"):
            self.__dict__.pop(name, None)

    # -- flows ----------------------------------------------------------------------------------

    def into(self, tag: str) -> Flow:
        """Everything that runs into a machine or product."""
        return self._named("into", tag, self._into.get(tag, ()))

    def out_of(self, tag: str) -> Flow:
        """Everything that leaves a machine or feed."""
        return self._named("from", tag, self._from.get(tag, ()))

    def stream(self, index: int) -> Flow:
        return self._named("stream", str(index), [index])

    def deck(self, machine: str, deck: str) -> Flow:
        return Flow(self.balance.edges_mm, self.balance.deck_feeds_t_h[machine, deck])

    def deck_oversize(self, machine: str, deck: str) -> Flow:
        return self.leaving(machine, f"{deck}.over")

    def leaving(self, machine: str, outlet: str) -> Flow:
        """Everything that leaves a machine by an outlet."""
        return self._named("by", f"{machine}.{outlet}", self.streams_by(machine, outlet))

    def _named(self, way: str, tag: str, streams: Iterable[int]) -> Flow:
        found = self._flows.get((way, tag))
        if found is None:
            mass = self.balance.streams_t_h[:, list(streams)].sum(axis=1)
            found = self._flows[way, tag] = Flow(self.balance.edges_mm, mass)
        return found

    def streams_into(self, tag: str) -> list[int]:
        return self._into.get(tag, [])

    def streams_from(self, tag: str) -> list[int]:
        return self._from.get(tag, [])

    def streams_by(self, tag: str, outlet: str) -> list[int]:
        return self._by.get((tag, outlet), [])

    @cached_property
    def plant_feed_t_h(self) -> Array:
        """(1,) or (B,)"""
        feeds = self.plant.feeds
        rates = [self.numbers.of(("feeds", feed.tag, "rate_t_h"), feed.rate_t_h) for feed in feeds]
        return sum(rates, start=np.zeros(1))

    # -- water ----------------------------------------------------------------------------------

    @property
    def water(self) -> Water:
        return self.balance.water

    def moisture_into(self, tag: str) -> Array:
        """Water over dry solids of what runs into a machine or product; 0 for nothing."""
        flow, streams = self.into(tag), self.streams_into(tag)
        return over(self.water.streams_t_h[:, streams].sum(axis=1), flow.rate_t_h, ~flow.empty, 0.0)

    # -- tramp ----------------------------------------------------------------------------------

    @cached_property
    def tramp(self) -> Mapping[str, list[Arrival]]:
        from hoggin.rating.tramp import arrivals  # which reads what is here

        return arrivals(self)

    # -- rock -----------------------------------------------------------------------------------

    def mixture(self, tag: str) -> Mixture:
        """Properties of what runs into a machine: volumes add for densities, masses for energy. An
        empty flow has the plain mean of the plant's feeds."""
        found = self._mixtures.get(tag)
        if found is None:
            found = self._mixtures[tag] = self.mixture_of(self.streams_into(tag))
        return found

    def mixture_of(self, streams: Sequence[int]) -> Mixture:
        """The same of some streams together."""
        masses = self._masses_by_feed(streams)
        weights = over(masses, masses.sum(axis=1, keepdims=True), empty=1 / masses.shape[1])
        return Mixture(
            solid_density_t_m3=1 / (weights / self._rocks("solid_density_t_m3")).sum(axis=1),
            bulk_density_t_m3=1 / (weights / self._rocks("bulk_density_t_m3")).sum(axis=1),
            work_index_kwh_t=(weights * self._rocks("work_index_kwh_t")).sum(axis=1),
        )

    def feed_shares(self, tag: str) -> Array:
        """(B, F) mass share of what is from each of the plant's feeds, in what runs into a machine
        or product; zeros where nothing does."""
        masses = self._masses_by_feed(self.streams_into(tag))
        total = masses.sum(axis=1, keepdims=True)
        return over(masses, total, ~self.into(tag).empty[:, None], 0.0)

    def _masses_by_feed(self, streams: Sequence[int]) -> Array:
        chosen = list(streams)
        rates = self.balance.streams_t_h[:, chosen].sum(axis=2)
        masses: Array = np.einsum("bs,bsk->bk", rates, self.balance.composition[:, chosen])
        return masses

    def _rocks(self, quantity: str) -> Array:
        """(1 or B, F) a number of the rock of every feed."""
        columns = [
            self.numbers.material(self.plant, feed.material, quantity) for feed in self.plant.feeds
        ]
        return np.stack(np.broadcast_arrays(*(c for c in columns if c is not None)), axis=1)

    def abrasion_index(self, tag: str) -> Array:
        """(B,) mean of the rocks that run into a machine, by mass; NaN where one of them states
        none, and for nothing."""
        total = np.zeros(1)
        for feed, share in zip(self.plant.feeds, self.feed_shares(tag).T, strict=True):
            index = self.numbers.material(self.plant, feed.material, "abrasion_index")
            known = np.nan if index is None else index
            total = total + np.where(share > 0, share * known, 0.0)
        return np.where(self.into(tag).empty, np.nan, total)

    def clay_into(self, tag: str) -> Array:
        """(B,) clay over dry solids of what runs into a machine: each feed's goes with its rock."""
        clays = [self.numbers.of_load(self.plant, feed, "clay") for feed in self.plant.feeds]
        found: Array = (self.feed_shares(tag) * np.stack(np.broadcast_arrays(*clays), axis=1)).sum(
            axis=1
        )
        return found

    # -- machines -------------------------------------------------------------------------------

    def model(self, machine: Machine, role: str) -> catalog.Model | None:
        """The process model a machine's class chose for a role; None where it names none."""
        use = machine.models.get(role)
        return None if use is None else catalog.find(role, use.model)

    def computed(
        self, machine: Machine, role: str, *given: Array, part: str = "", **known: Array
    ) -> Array:
        """What the model of a role gives, by the part that is called as the role if none is named;
        NaN where the machine's class names no such model. What is known replaces coefficients."""
        model = self.model(machine, role)
        if model is None:
            return np.full(1, np.nan)
        coefficients = self.numbers.coefficients(machine, role)
        given_by_name = {**coefficients, **machine.models[role].tables, **known}
        found: Array = model.load(part or role)(*given, **given_by_name)
        return found

    def machine(self, tag: str) -> MachineView:
        from hoggin.rating.machines import MachineView  # which reads what is here

        found = self._machines.get(tag)
        if found is None:
            declared = next(machine for machine in self.plant.machines if machine.tag == tag)
            found = self._machines[tag] = MachineView(self, declared)
        return found

    @cached_property
    def view(self) -> PlantView:
        from hoggin.rating.plant import PlantView  # which reads what is here

        return PlantView(self)

    @cached_property
    def overload(self) -> Overload:
        from hoggin.rating.overload import Overload  # which reads what is here

        return Overload(self)

    @cached_property
    def allocation(self) -> Allocation:
        from hoggin.rating.cost import Allocation  # which reads what is here

        return Allocation(self)

    @cached_property
    def shapes(self) -> Shapes:
        from hoggin.rating.shape import Shapes  # few plants state any shape

        return Shapes(self)
