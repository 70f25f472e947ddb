"""Running cost and carbon of a plant at its own prices, and their share in each product.

Each machine's cost, and the energy it draws, goes with the rock that leaves it: all of its outlets
carry the same amount per tonne, and add it to what their rock has cost upstream. So a product bears
the machines on its route, by the tonnes of it that pass through each, and rock that comes round a
loop bears them again. What the plant states by the hour is shared by all products alike, per tonne.
The products bear the whole of it together.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from hoggin.models.arrays import Array, over
from hoggin.rating.view import View
from hoggin.schema.results import MachineCost, PlantCost

if TYPE_CHECKING:
    from hoggin.rating.machines import MachineView
    from hoggin.rating.rated import Rated

_GRAMS_PER_KG = 1000.0


class MachineCostView(View):
    """What a machine costs by the hour; parts without a price are without a value."""

    document = MachineCost

    def __init__(self, machine: MachineView) -> None:
        prices = machine.rated.plant.prices
        energy = prices.energy_money_kwh
        self.energy_money_h = machine.power_kw * (np.nan if energy is None else energy)
        worn = machine.wear.cost if machine.wear is not None else None
        self.liners_money_h = machine.none if worn is None else worn.cost_money_h
        self.parts_money_h = machine.stated("parts_cost_money_h") * machine.count
        self.total_money_h = _sum(self.energy_money_h, self.liners_money_h, self.parts_money_h)
        price = machine.none if machine.existing else machine.stated("price_money")
        self.budget_money = price * machine.count


def machine_cost(machine: MachineView) -> MachineCostView | None:
    """None where nothing of a machine has a price."""
    found = MachineCostView(machine)
    known = (found.total_money_h, found.budget_money)
    return None if all(np.isnan(one).all() for one in known) else found


class PlantCostView(View):
    """The sums over all machines, and what the plant states by the hour."""

    document = PlantCost

    def __init__(self, rated: Rated) -> None:
        plant = rated.plant
        costs = [one.cost for one in rated.view.machines if one.cost is not None]
        self.currency = plant.currency
        self.energy_money_h = _sum(*(one.energy_money_h for one in costs))
        self.liners_money_h = _sum(*(one.liners_money_h for one in costs))
        self.parts_money_h = _sum(*(one.parts_money_h for one in costs))
        labour = plant.prices.labour_money_h
        self.labour_money_h = np.array([np.nan if labour is None else labour])
        self.total_money_h = _sum(
            self.energy_money_h, self.liners_money_h, self.parts_money_h, self.labour_money_h
        )
        self.total_money_t = over(self.total_money_h, rated.plant_feed_t_h)
        self.budget_money = _sum(*(one.budget_money for one in costs))
        self.unpriced = _unpriced(rated)


def _unpriced(rated: Rated) -> tuple[str, ...]:
    """What has no price, so that no reader takes the sum for the whole."""
    prices, machines = rated.plant.prices, rated.view.machines
    found = ["energy"] if prices.energy_money_kwh is None else []
    found += ["operators"] if prices.labour_money_h is None else []
    worn = [m.tag for m in machines if m.crushes and (m.wear is None or m.wear.cost is None)]
    found += [f"liners of {', '.join(worn)}"] if worn else []
    bare = [m.tag for m in machines if m.decks and m.fact("parts_cost_money_h") is None]
    return (*found, *([f"screening media of {', '.join(bare)}"] if bare else []))


class Allocation:
    """What each machine spends in an hour, per tonne of each product."""

    def __init__(self, rated: Rated) -> None:
        self._rated = rated

    @cached_property
    def energy_kwh_t(self) -> Mapping[str, Array]:
        """By product, of the machines on its route."""
        machines = self._rated.view.machines
        return self._per_tonne([np.nan_to_num(machine.power_kw) for machine in machines])

    @cached_property
    def cost_money_t(self) -> Mapping[str, Array]:
        """By product, with its share of what the plant states by the hour; NaN without prices."""
        view = self._rated.view
        if view.cost is None:
            return {product.tag: np.full(1, np.nan) for product in view.products}
        spent = [m.cost.total_money_h if m.cost is not None else np.zeros(1) for m in view.machines]
        of_route = self._per_tonne([np.nan_to_num(one) for one in spent])
        made: Array = np.sum([product.rate_t_h for product in view.products], axis=0)
        labour = over(np.nan_to_num(view.cost.labour_money_h), made)
        return {tag: found + labour for tag, found in of_route.items()}

    @cached_property
    def co2_kg_t(self) -> Mapping[str, Array]:
        carbon = self._rated.plant.prices.carbon_g_kwh
        factor = np.nan if carbon is None else carbon / _GRAMS_PER_KG
        return {tag: factor * found for tag, found in self.energy_kwh_t.items()}

    def _per_tonne(self, spent: list[Array]) -> Mapping[str, Array]:
        """Solves, for each machine, spent per tonne of what leaves it, u: what enters it carries,
        and what it spends, over what leaves: T u - sum of (rate of a stream x u of its source) =
        spent. (B,) for each product; NaN where none of it is made."""
        plant, rates = self._rated.plant, self._rated.balance.streams_t_h.sum(axis=2)
        places = {machine.tag: place for place, machine in enumerate(plant.machines)}
        cases, count = len(rates), len(places)
        carried = np.zeros((cases, count, count))
        through = np.zeros((cases, count))
        for index, stream in enumerate(plant.streams):
            if stream.target in places:
                place = places[stream.target]
                through[:, place] += rates[:, index]
                if stream.source in places:
                    carried[:, place, places[stream.source]] += rates[:, index]
        idle = through <= 0.0
        matrix = np.where(idle, 1.0, through)[:, :, None] * np.eye(count) - carried
        wanted = np.zeros((cases, count))
        for place, one in enumerate(spent):
            wanted[:, place] = one
        each = np.linalg.solve(matrix, np.where(idle, 0.0, wanted)[:, :, None])[:, :, 0]
        found = {}
        for product in plant.products:
            streams = self._rated.streams_into(product.tag)
            total = np.zeros(cases)
            for index in streams:
                source = plant.streams[index].source
                if source in places:
                    total = total + rates[:, index] * each[:, places[source]]
            found[product.tag] = over(total, rates[:, streams].sum(axis=1))
        return found


def _sum(*parts: Array) -> Array:
    """The sum of what has a value; NaN where nothing has."""
    known = [part for part in parts if not np.isnan(part).all()]
    total: Array = sum((np.nan_to_num(part) for part in known), start=np.zeros(1))
    return total if known else np.full(1, np.nan)
