"""Belt conveyors in all cases: power drawn with the rock's water on the belt, run and pull."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from hoggin.balance.result import Array
from hoggin.models import conveyors
from hoggin.rating.view import View
from hoggin.schema.results import BeltResult

if TYPE_CHECKING:
    from hoggin.rating.machines import MachineView


def power_kw(machine: MachineView) -> Array:
    """Power drawn by a conveyor; NaN where its class states no belt."""
    model = machine.rated.model(machine.machine, "belt_power")
    if model is None:
        return machine.none
    given = machine.rated.numbers.coefficients(machine.machine, "belt_power")
    power: Array = model.load("power")(_wet_t_h(machine), **given)
    return power


def belt(machine: MachineView) -> BeltView | None:
    """Run, load and pull of a conveyor; None for other machines."""
    return BeltView(machine) if "belt_power" in machine.machine.models else None


class BeltView(View):
    document = BeltResult

    def __init__(self, machine: MachineView) -> None:
        numbers, self._none = machine.rated.numbers, machine.none
        self._wet_t_h = _wet_t_h(machine)
        self._run = numbers.coefficients(machine.machine, "belt_power")
        del self._run["efficiency"]
        use = machine.machine.models.get("capacity")
        trough = use is not None and use.model == "trough"
        self._trough = numbers.coefficients(machine.machine, "capacity") if trough else None

    @property
    def length_m(self) -> Array:
        return self._run["length"]

    @property
    def lift_m(self) -> Array:
        return self._run["lift"]

    @property
    def slope_deg(self) -> Array:
        return conveyors.slope_deg(self.length_m, self.lift_m)

    @property
    def travel_speed_m_s(self) -> Array:
        return self._run["travel_speed"]

    @property
    def width_mm(self) -> Array:
        return self._none if self._trough is None else self._trough["width"]

    @cached_property
    def _section(self) -> dict[str, Array]:
        names = ("width", "middle_roll", "trough_angle", "surcharge_angle")
        return {} if self._trough is None else {name: self._trough[name] for name in names}

    @property
    def section_m2(self) -> Array:
        return conveyors.section_m2(**self._section) if self._section else self._none

    @property
    def slope_factor(self) -> Array:
        if self._trough is None:
            return self._none
        cap = conveyors.cap_share(**self._section)
        run = self._trough
        return conveyors.slope_factor(run["length"], run["lift"], run["surcharge_angle"], cap)

    @property
    def rock_kg_m(self) -> Array:
        return self._wet_t_h * 1000 / 3600 / self.travel_speed_m_s

    @property
    def secondary_coefficient(self) -> Array:
        return conveyors.secondary_coefficient(self.length_m)

    @property
    def pull_n(self) -> Array:
        return conveyors.belt_force_n(self._wet_t_h, **self._run)


def _wet_t_h(machine: MachineView) -> Array:
    return machine.feed_t_h * (1 + machine.moisture_of_feed)
