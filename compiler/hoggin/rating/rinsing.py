"""The water of a screen that is said to work wet, in all cases."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hoggin.balance.wetting import added_t_h
from hoggin.models import screens
from hoggin.models.arrays import Array, over
from hoggin.rating.view import View
from hoggin.schema.results import RinseResult

if TYPE_CHECKING:
    from hoggin.rating.machines import MachineView


def rinsed(machine: MachineView) -> RinseView | None:
    """The water of a screen whose area counts on it; None for other machines."""
    wet = machine.rated.numbers.coefficients(machine.machine, "area").get("wet")
    return None if wet is None or not np.any(wet > 0.0) else RinseView(machine)


class RinseView(View):
    """Water that comes with the feed counts as sprays do: slurry is screened as wet."""

    document = RinseResult

    def __init__(self, machine: MachineView) -> None:
        rated = machine.rated
        came = rated.water.streams_t_h[:, rated.streams_into(machine.tag)].sum(axis=1)
        self.water_m3_h: Array = came + added_t_h(machine.machine, rated.numbers)
        self.water_needed_m3_h = screens.rinse_water_m3_h(machine.feed_t_h)
        self.water_share = over(self.water_m3_h, self.water_needed_m3_h)
