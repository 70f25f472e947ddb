"""What breaking costs in power and metal: energy a tonne, the next motor size, liner life."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from hoggin.models import motors, power, wear
from hoggin.models.arrays import Array, over
from hoggin.models.model import Model
from hoggin.rating.view import View
from hoggin.schema.results import DriveResult, LinerCost, WearResult

if TYPE_CHECKING:
    from hoggin.rating.machines import MachineView

MOTOR_MARGIN = 0.15  # over the drawn power; common practice, no source


class DriveView(View):
    """Energy a tonne and the next motor size of a machine whose power is known."""

    document = DriveResult
    motor_margin = MOTOR_MARGIN

    def __init__(self, machine: MachineView) -> None:
        self._drawn_kw, self._feed_t_h = machine.power_kw, machine.feed_t_h
        self._plant_feed_t_h = machine.rated.plant_feed_t_h

    @property
    def energy_kwh_t(self) -> Array:
        return over(self._drawn_kw, self._feed_t_h)

    @property
    def energy_of_plant_feed_kwh_t(self) -> Array:
        return over(self._drawn_kw, self._plant_feed_t_h)

    @property
    def motor_kw(self) -> Array:
        """None where the series ends."""
        motor = motors.next_motor_kw(self._drawn_kw, MOTOR_MARGIN)
        return np.where(np.isfinite(motor), motor, np.nan)


def liner_wear(machine: MachineView) -> WearView | None:
    """Liner metal a tonne and liner life; None where the class or the rock says too little."""
    model = machine.rated.model(machine.machine, "wear")
    index = _abrasion_index(machine)
    return None if model is None or np.isnan(index).all() else WearView(machine, model, index)


class WearView(View):
    document = WearResult

    def __init__(self, machine: MachineView, model: Model, index: Array) -> None:
        self.machine = machine
        self.abrasion_index = index
        self.metal_g_kwh: Array = model.load("wear")(abrasion_index=index)

    @cached_property
    def net_energy_kwh_t(self) -> Array:
        """Bond's energy of breaking, without the losses of the machine."""
        machine = self.machine
        energy = power.bond_energy_kwh_t(
            machine.feed.p80_or_finest_mm,
            machine.product.p80_or_finest_mm,
            machine.rated.mixture(machine.tag).work_index_kwh_t,
        )
        return np.where(machine.feed.empty, 0.0, energy)

    @property
    def metal_g_t(self) -> Array:
        return self.metal_g_kwh * self.net_energy_kwh_t

    @property
    def liner_mass_t(self) -> Array:
        return self._stated("liner_mass_t")

    @property
    def liner_wear_share(self) -> Array:
        return self._stated("liner_wear_share")

    @property
    def life_h(self) -> Array:
        wearing = self.liner_mass_t * self.liner_wear_share
        hours = wear.liner_life_h(wearing, self.metal_g_t, self.machine.feed_t_h)
        return np.where(np.isfinite(hours), hours, np.nan)

    @cached_property
    def cost(self) -> CostView | None:
        price = self.machine.fact("liner_price_per_t")
        return None if price is None else CostView(self, price)

    def _stated(self, name: str) -> Array:
        found = self.machine.fact(name)
        return self.machine.none if found is None else found


class CostView(View):
    """What liners cost where their price is stated."""

    document = LinerCost

    def __init__(self, worn: WearView, price_per_t: Array) -> None:
        self._worn, self._price_per_t = worn, price_per_t
        self.currency = worn.machine.rated.plant.currency

    @property
    def price_per_kg(self) -> Array:
        return self._price_per_t / 1000.0

    @cached_property
    def cost_per_t(self) -> Array:
        share = self._worn.liner_wear_share
        whole = np.where(np.isnan(share), 1.0, share)
        return wear.liner_cost_per_t(self._worn.metal_g_t, self._price_per_t, whole)

    @property
    def cost_of_plant_feed_per_t(self) -> Array:
        return self.cost_per_h / self._worn.machine.rated.plant_feed_t_h

    @property
    def cost_per_h(self) -> Array:
        return self.cost_per_t * self._worn.machine.feed_t_h

    @property
    def set_price(self) -> Array:
        return self._worn.liner_mass_t * self._price_per_t


def _abrasion_index(machine: MachineView) -> Array:
    """Mean of the rocks in the feed by mass; NaN where one of them states none."""
    rated = machine.rated
    shares = rated.material_shares(machine.tag)
    total = np.zeros(len(shares))
    for name, share in zip(sorted(rated.plant.materials), shares.T, strict=True):
        index = rated.numbers.material(rated.plant, name, "abrasion_index")
        total = total + np.where(share > 0, share * (np.nan if index is None else index), 0.0)
    return np.where(machine.feed.empty, np.nan, total)
