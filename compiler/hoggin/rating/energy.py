"""What driving and breaking cost in power and metal: energy a tonne, the motor, liner life."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hoggin.models import motors, wear
from hoggin.models.arrays import Array, over
from hoggin.rating.view import View
from hoggin.schema.facts import usual
from hoggin.schema.kinds import DRIVEN
from hoggin.schema.results import DriveResult, LinerCost, WearResult

if TYPE_CHECKING:
    from hoggin.rating.machines import MachineView


class DriveView(View):
    """Energy a tonne, the motor, and what it takes from the supply, of a machine whose power is
    known."""

    document = DriveResult

    def __init__(self, machine: MachineView) -> None:
        drawn_kw = machine.power_kw
        self.energy_kwh_t = over(drawn_kw, machine.feed_t_h)
        self.energy_of_plant_feed_kwh_t = over(drawn_kw, machine.rated.plant_feed_t_h)
        self.motor_margin, self.motor_kw = motor_margin(machine), machine.motor_kw
        self.demand_kw = drawn_kw / motors.efficiency(self.motor_kw)


def fitted_motor_kw(machine: MachineView) -> Array:
    """The motor of each machine: the one that its class states, else the next of the series for the
    power that the class states, else for the drawn power and its margin."""
    stated, wanted = machine.fact("installed_power_kw"), machine.fact("design_power_kw")
    if stated is not None:
        return stated
    if machine.kind not in DRIVEN:
        return machine.none
    return _of_the_series_kw(wanted) if wanted is not None else needed_motor_kw(machine)


def has_given_motor(machine: MachineView) -> bool:
    """Whether its class fixes its motor; else it is chosen for its load, and is large enough."""
    return any(machine.fact(name) is not None for name in ("installed_power_kw", "design_power_kw"))


def needed_motor_kw(machine: MachineView) -> Array:
    """The motor for the power that each machine draws, with the reserve for starting and peaks."""
    return _of_the_series_kw(machine.power_kw / machine.count * (1.0 + motor_margin(machine)))


def _of_the_series_kw(wanted_kw: Array) -> Array:
    """The next motor of the series; above it, where several share the work, just the power."""
    fitted = motors.next_motor_kw(wanted_kw, 0.0)
    return np.where(np.isnan(fitted), wanted_kw, fitted)


def motor_margin(machine: MachineView) -> Array:
    return machine.stated("motor_margin", usual(machine.kind, "motor_margin"))


def liner_wear(machine: MachineView) -> WearView | None:
    """Liner metal a tonne and liner life; None where the class or the rock says too little."""
    index = machine.rated.abrasion_index(machine.tag)
    known = "wear" in machine.machine.models and not np.isnan(index).all()
    return WearView(machine, index) if known else None


class WearView(View):
    document = WearResult

    def __init__(self, machine: MachineView, index: Array) -> None:
        self.abrasion_index = index
        self.metal_g_kwh = machine.rated.computed(machine.machine, "wear", abrasion_index=index)
        self.net_energy_kwh_t = machine.net_energy_kwh_t
        self.metal_g_t = self.metal_g_kwh * self.net_energy_kwh_t
        self.liner_mass_t = machine.stated("liner_mass_t")
        self.liner_wear_share = machine.stated("liner_wear_share")
        wearing = self.liner_mass_t * self.liner_wear_share
        hours = wear.liner_life_h(wearing, self.metal_g_t, machine.feed_of_each_t_h)
        self.life_h = np.where(np.isfinite(hours), hours, np.nan)
        price = machine.fact("liner_price_money_t")
        self.cost = None if price is None else CostView(machine, self, price)


class CostView(View):
    """What liners cost where their price is stated."""

    document = LinerCost

    def __init__(self, machine: MachineView, worn: WearView, price_per_t: Array) -> None:
        share = worn.liner_wear_share
        whole = np.where(np.isnan(share), 1.0, share)
        self.currency = machine.rated.plant.currency
        self.price_money_kg = price_per_t / 1000.0
        self.cost_money_t = wear.liner_cost_per_t(worn.metal_g_t, price_per_t, whole)
        self.cost_money_h = self.cost_money_t * machine.feed_t_h
        self.cost_of_plant_feed_money_t = over(self.cost_money_h, machine.rated.plant_feed_t_h)
        self.set_price_money = worn.liner_mass_t * price_per_t
