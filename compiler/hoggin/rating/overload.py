"""Machines that are fed more than they can take, and what their overload makes void.

A balance passes the whole feed through every machine. Where one can't take it, its largest pieces
do not enter, or its motor can't drive it, less arrives downstream than the balance says. So
whatever is downstream of it is void until it fits. A deck over its area is not overloaded in this
sense where its partition follows its load: the balance already has its lower efficiency. One with a
fixed partition is, and so are a pool and a cyclone under more than they can cut at the stated size.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.grid import parameters
from hoggin.balance.result import Array
from hoggin.models import catalog
from hoggin.models.arrays import over
from hoggin.schema.asked import asked_of, readings, thing_of
from hoggin.schema.kinds import DRIVES
from hoggin.schema.plant import Limit, Machine, Meets, Plant, Reading, Requirement

if TYPE_CHECKING:
    from hoggin.rating.machines import MachineView
    from hoggin.rating.rated import Rated

Mask = NDArray[np.bool_]

_ROUNDING = 1e-9  # of a load of 100 %
_LIMITS = {"max_flow_m3_h", "surface_m2", "max_pressure_mpa"}
_MOTOR = {"installed_power_kw", "design_power_kw"}


class Overload:
    """By machine, in which cases (B,) it is overloaded, and what is downstream of it then."""

    def __init__(self, rated: Rated) -> None:
        self._rated = rated
        self._cases = len(rated.balance.streams_t_h)

    @cached_property
    def machines(self) -> Mapping[str, Mask]:
        """The machines that are overloaded in any case."""
        found = {
            machine.tag: self._all(machine.utilization > 1.0 + _ROUNDING)
            for machine in self._rated.view.machines
        }
        return {tag: over for tag, over in found.items() if over.any()}

    def above(self, tag: str) -> Mapping[str, Mask]:
        """The overloaded machines that a machine or product is downstream of, others than itself:
        its own load stays the proof that it does not fit."""
        return {
            over: reached[tag]
            for over, reached in self._reached.items()
            if over != tag and tag in reached and reached[tag].any()
        }

    def above_outlet(self, tag: str) -> Mapping[str, Mask]:
        """The same of what leaves a machine or feed, which is downstream of it too."""
        above = self.above(tag)
        return {
            over: mask if over == tag else above[over]
            for over, mask in self.machines.items()
            if over == tag or over in above
        }

    def above_requirement(self, requirement: Requirement) -> Mapping[str, Mask]:
        """The overloaded machines that a requirement depends on."""
        if not self.machines:
            return {}
        if isinstance(requirement, Meets):
            return self.above(requirement.product)
        found = [self.above_reading(one) for one in readings(requirement.expression)]
        return {
            over: np.any([above[over] for above in found if over in above], axis=0)
            for over in self.machines
            if any(over in above for above in found)
        }

    def above_reading(self, reading: Reading) -> Mapping[str, Mask]:
        """The overloaded machines that make a result void."""
        plant, subject = self._rated.plant, reading.subject
        if not self.machines or asked_of(plant, reading).quantity.stated:
            return {}
        if not subject:
            return self.machines
        machines = {machine.tag: machine for machine in plant.machines}
        tag = thing_of(subject, {*machines, *(product.tag for product in plant.products)})
        if not tag:
            return {}  # a feed
        part = subject.removeprefix(f"{tag}.") if subject != tag else ""
        if part and part in machines[tag].outlets:
            return self.above_outlet(tag)
        return self.above(tag)

    @cached_property
    def _reached(self) -> Mapping[str, Mapping[str, Mask]]:
        """By overloaded machine, in which cases rock from it reaches each machine or product."""
        return {tag: self._downstream(tag, over) for tag, over in self.machines.items()}

    def _downstream(self, tag: str, over: Mask) -> Mapping[str, Mask]:
        plant = self._rated.plant
        carries = self._rated.balance.streams_t_h.sum(axis=2) > 0.0
        places = [machine.tag for machine in plant.machines] + [p.tag for p in plant.products]
        found = {place: np.zeros(self._cases, dtype=bool) for place in places}
        left = {tag: over}
        while left:
            source, mask = left.popitem()
            for index in self._rated.streams_from(source):
                target = plant.streams[index].target
                new = mask & self._all(carries[:, index]) & ~found[target]
                if new.any():
                    found[target] = found[target] | new
                    left[target] = new | left.get(target, False)
        return found

    def _all(self, mask: Mask) -> Mask:
        found: Mask = np.broadcast_to(mask, (self._cases,))
        return found


def utilization(machine: MachineView) -> Array:
    """The largest share of what a machine can take that is used; NaN where nothing is known."""
    size_use = over(machine.top_size_mm, machine.stated("feed_opening_mm"))
    uses = [machine.load, machine.power_use, size_use]
    if machine.slurry is not None:
        uses.append(machine.slurry.flow_use)
    if machine.thickener is not None:
        uses.append(machine.thickener.surface_use)
    if machine.classifier is not None:
        uses += [machine.classifier.flow_use, machine.classifier.surface_use]
    uses += [deck.area_use for deck in machine.decks if not follows_load(machine.machine)]
    most: Array = uses[0]
    for use in uses[1:]:
        most = np.fmax(most, use)
    return most


def fitting(plant: Plant) -> tuple[Limit, ...]:
    """What every plant asks of its machines, stated or not: that each takes its feed."""
    return tuple(
        Limit(
            text=f"{machine.tag}.utilization <= 100 %",
            expression=Reading(subject=machine.tag, quantity="utilization"),
            low=None,
            high=100.0,
            unit="%",
            unit_size=0.01,
            place=machine.place,
        )
        for machine in plant.machines
        if _has_limit(machine)
    )


def follows_load(machine: Machine) -> bool:
    """Whether the balance has the efficiency of a screen's load."""
    use = machine.models.get("partition")
    model = None if use is None else catalog.find("partition", use.model)
    return model is not None and "area_m2" in parameters(model.load("cut_size"))


def _has_limit(machine: Machine) -> bool:
    """Whether its class says what it can take, and so has a utilization."""
    if "capacity" in machine.models or not _LIMITS.isdisjoint(machine.facts):
        return True
    if not _MOTOR.isdisjoint(machine.facts) and not set(DRIVES).isdisjoint(machine.models):
        return True
    return bool(machine.decks) and "area" in machine.models and not follows_load(machine)


def named(above: Mapping[str, Mask], case: int) -> tuple[str, ...]:
    """The overloaded machines of one case."""
    return tuple(tag for tag, mask in above.items() if mask[case])


def anywhere(above: Mapping[str, Mask], cases: int) -> Mask:
    """(cases,) in which any of them is overloaded."""
    found: Mask = np.any([np.zeros(cases, dtype=bool), *above.values()], axis=0)
    return found
