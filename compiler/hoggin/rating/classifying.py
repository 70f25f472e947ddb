"""Wet classifiers in all cases: what they cut at under their flow, and what that flow needs."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from hoggin.models import capacity, settling, slurry
from hoggin.models.arrays import Array, over
from hoggin.rating.view import View
from hoggin.schema.results import ClassifierResult

if TYPE_CHECKING:
    from hoggin.rating.machines import MachineView

_SECONDS_PER_HOUR = 3600.0
_KPA_PER_MPA = 1000.0
_ROUNDING = 1e-9


def classified(machine: MachineView) -> ClassifierView | None:
    """A classifier whose class states its cut size; None for other machines."""
    if machine.kind != "classifier":
        return None
    stated = machine.rated.numbers.coefficients(machine.machine, "partition").get("d50")
    return None if stated is None else ClassifierView(machine, stated)


class ClassifierView(View):
    """A pool cuts at the size that sinks as fast as its overflow rises, a cyclone by its model of
    the cut. A class that states neither a surface nor such a model has no figures of these."""

    document = ClassifierResult

    def __init__(self, machine: MachineView, stated_cut_mm: Array) -> None:
        self.machine, self.rated = machine, machine.rated
        self.stated_cut_mm = stated_cut_mm
        self.surface_m2 = machine.stated("surface_m2") * machine.count

    @cached_property
    def _density(self) -> Array:
        return self.rated.mixture(self.machine.tag).solid_density_t_m3

    # -- a pool ---------------------------------------------------------------------------------

    @cached_property
    def _fine_t_h(self) -> Array:
        return self.rated.leaving(self.machine.tag, "fine").rate_t_h

    @cached_property
    def overflow_m3_h(self) -> Array:
        streams = self.rated.streams_by(self.machine.tag, "fine")
        water = self.rated.water.streams_t_h[:, streams].sum(axis=1)
        return slurry.flow_m3_h(self._fine_t_h, water, self._density)

    @property
    def rise_speed_m_s(self) -> Array:
        return over(self.overflow_m3_h / _SECONDS_PER_HOUR, self.surface_m2)

    @property
    def _overflow_rock(self) -> dict[str, Array]:
        """What slows the grains in the overflow, as the settling law takes it."""
        solids = over(self._fine_t_h / self._density, self.overflow_m3_h, empty=0.0)
        return {"solid_density_t_m3": self._density, "solids_by_volume": solids}

    @cached_property
    def surface_needed_m2(self) -> Array:
        needed = settling.pool_m2(self.overflow_m3_h, self.stated_cut_mm, **self._overflow_rock)
        return np.where(np.isnan(self.surface_m2), np.nan, needed)

    @property
    def surface_use(self) -> Array:
        return over(self.surface_needed_m2, self.surface_m2)

    # -- a cyclone ------------------------------------------------------------------------------

    @cached_property
    def _flow_of_each(self) -> tuple[Array, Array]:
        """Flow of slurry into each, m3/h, and the share of its volume that is rock."""
        found = self.machine.slurry
        assert found is not None, "classifiers work on slurry"
        rock = over(self.machine.feed_t_h / self._density, found.flow_m3_h, empty=0.0)
        return found.flow_m3_h / self.machine.count, rock

    def _by_cut_model(self, part: str, *given: Array, **known: Array) -> Array:
        return self.rated.computed(self.machine.machine, "cut", *given, part=part, **known)

    def _under_flow(self, part: str, **known: Array) -> Array:
        """Cut or pressure under the flow; none where it is more than passes at all, which is
        outside the range of any model."""
        found = self._by_cut_model(part, *self._flow_of_each, **known)
        too_much = self._flow_of_each[0] * self.machine.count > self.passes_m3_h
        return np.where(too_much, np.nan, found)

    @cached_property
    def pressure_kpa(self) -> Array:
        return self._under_flow("pressure_drop")

    @cached_property
    def passes_m3_h(self) -> Array:
        most_kpa = self.machine.stated("max_pressure_mpa") * _KPA_PER_MPA
        each = self._by_cut_model("flow_through", most_kpa, self._flow_of_each[1])
        return each * self.machine.count

    # -- a spiral -------------------------------------------------------------------------------

    @cached_property
    def rim_speed_m_s(self) -> Array:
        raking = self.rated.numbers.coefficients(self.machine.machine, "capacity")
        return raking.get("peripheral_speed", self.none)

    @cached_property
    def fastest_rim_m_s(self) -> Array:
        fines = self.rated.leaving(self.machine.tag, "coarse").passing(capacity.RAKED_FINES_MM)
        return np.where(np.isnan(self.rim_speed_m_s), np.nan, capacity.fastest_rim_m_s(fines))

    # -- all -----------------------------------------------------------------------------------

    @cached_property
    def cut_size_mm(self) -> Array:
        if "cut" in self.machine.machine.models:
            return self._under_flow("cut_size", solid_density_t_m3=self._density)
        return settling.settled_size_mm(self.rise_speed_m_s, **self._overflow_rock)

    @cached_property
    def flow_use(self) -> Array:
        return over(self._flow_of_each[0] * self.machine.count, self.passes_m3_h)

    @property
    def number_needed(self) -> Array:
        use = np.fmax(np.fmax(self.flow_use, self.surface_use), self.machine.load)
        return np.ceil(use * self.machine.count - _ROUNDING)
