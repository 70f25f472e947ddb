"""Belt conveyors in all cases: power drawn with the rock's water on the belt, run and pull."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hoggin.balance.result import Array
from hoggin.models import conveyors
from hoggin.rating.view import View
from hoggin.schema.results import BeltResult

if TYPE_CHECKING:
    from hoggin.rating.machines import MachineView


def power_kw(machine: MachineView) -> Array:
    """Power drawn by one conveyor; NaN where its class states no belt."""
    return machine.rated.computed(machine.machine, "belt_power", _wet_t_h(machine), part="power")


def belt(machine: MachineView) -> BeltView | None:
    """Run, load and pull of a conveyor; None for other machines."""
    return BeltView(machine) if "belt_power" in machine.machine.models else None


class BeltView(View):
    document = BeltResult

    def __init__(self, machine: MachineView) -> None:
        numbers, wet_t_h = machine.rated.numbers, _wet_t_h(machine)
        run = numbers.coefficients(machine.machine, "belt_power")
        del run["efficiency"]
        self.length_m, self.lift_m = run["length"], run["lift"]
        self.travel_speed_m_s = run["travel_speed"]
        self.slope_deg = conveyors.slope_deg(self.length_m, self.lift_m)
        self.rock_kg_m = wet_t_h * 1000 / 3600 / self.travel_speed_m_s
        self.secondary_coefficient = conveyors.secondary_coefficient(self.length_m)
        self.pull_n = conveyors.belt_force_n(wet_t_h, **run)
        self.width_mm = self.section_m2 = self.slope_factor = machine.none
        use = machine.machine.models.get("capacity")
        if use is not None and use.model == "trough":
            belt = numbers.coefficients(machine.machine, "capacity")
            names = ("width", "middle_roll", "trough_angle", "surcharge_angle")
            section = {name: belt[name] for name in names}
            self.width_mm = belt["width"]
            self.section_m2 = conveyors.section_m2(**section)
            self.slope_factor = conveyors.slope_factor(
                belt["length"],
                belt["lift"],
                belt["surcharge_angle"],
                conveyors.cap_share(**section),
            )


def _wet_t_h(machine: MachineView) -> Array:
    """On one belt."""
    return machine.feed_of_each_t_h * (1 + machine.rated.moisture_into(machine.tag))
