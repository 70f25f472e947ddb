"""Slurry in all cases: what runs through sumps, pumps and thickeners, and what it asks of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hoggin.balance.wetting import added_t_h
from hoggin.models import slurry
from hoggin.models.arrays import Array, over
from hoggin.rating.view import View
from hoggin.schema.kinds import KINDS
from hoggin.schema.results import SlurryResult, ThickenerResult

if TYPE_CHECKING:
    from hoggin.rating.machines import MachineView

_SECONDS_PER_HOUR = 3600.0


def slurry_through(machine: MachineView) -> SlurryView | None:
    """The slurry in a machine that works on it; None for other machines."""
    return SlurryView(machine) if KINDS[machine.kind].slurry else None


def thickening(machine: MachineView) -> ThickenerView | None:
    """A thickener whose class states its surface; None for other machines."""
    surface_m2 = machine.fact("surface_m2") if machine.kind == "thickener" else None
    return None if surface_m2 is None else ThickenerView(machine, surface_m2 * machine.count)


def power_kw(machine: MachineView) -> Array:
    """Power drawn by a pump; NaN where its class names no model of it."""
    found = machine.slurry
    if found is None:
        return machine.none
    each = machine.rated.computed(
        machine.machine,
        "pump_power",
        found.flow_m3_h / machine.count,
        found.density_t_m3,
        part="power",
    )
    return each * machine.count


class SlurryView(View):
    """What flows in, with the water that is put in there; of equal machines the flow is of all."""

    document = SlurryResult

    def __init__(self, machine: MachineView) -> None:
        rated, solids = machine.rated, machine.feed_t_h
        came = rated.water.streams_t_h[:, rated.streams_into(machine.tag)].sum(axis=1)
        water = came + added_t_h(machine.machine, rated.numbers)
        density = rated.mixture(machine.tag).solid_density_t_m3
        self.flow_m3_h = slurry.flow_m3_h(solids, water, density)
        self.density_t_m3 = slurry.density_t_m3(solids, water, self.flow_m3_h)
        self.solids_share = over(solids, solids + water)
        self.flow_use = over(self.flow_m3_h, machine.stated("max_flow_m3_h") * machine.count)
        self.residence_h = over(machine.stated("volume_m3") * machine.count, self.flow_m3_h)
        pumping = rated.numbers.coefficients(machine.machine, "pump_power")
        self.head_m = pumping.get("head", machine.none)


class ThickenerView(View):
    """Its surface against what settles on it and against the water that rises from it."""

    document = ThickenerResult

    def __init__(self, machine: MachineView, surface_m2: Array) -> None:
        rated = machine.rated
        underflow, overflow = (
            [at for at in rated.streams_from(machine.tag) if rated.plant.streams[at].outlet == one]
            for one in machine.machine.outlets
        )
        water, solids = rated.water.streams_t_h, rated.balance.streams_t_h.sum(axis=2)
        below, above = water[:, underflow].sum(axis=1), water[:, overflow].sum(axis=1)
        settled = solids[:, underflow].sum(axis=1)
        self.surface_m2 = surface_m2
        self.overflow_m3_h = above / slurry.WATER_T_M3
        self.underflow_solids = over(settled, settled + below)
        self.water_reused_m3_h = above * machine.stated("water_reused", 0.0)
        rising = self.overflow_m3_h / (machine.stated("max_rise_rate_m_s") * _SECONDS_PER_HOUR)
        self.surface_needed_m2 = np.fmax(surface_m2 * machine.load, rising)
        self.surface_use = over(self.surface_needed_m2, surface_m2)
