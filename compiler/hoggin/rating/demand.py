"""What outlets by tonnage are asked for, and what they get."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hoggin.models.arrays import Array
from hoggin.rating.view import View
from hoggin.schema.results import DemandResult

if TYPE_CHECKING:
    from hoggin.rating.machines import MachineView


def demanded(machine: MachineView) -> DemandView | None:
    """The demand of a splitter by tonnage or a store with a draw; None for other machines."""
    return DemandView(machine) if machine.machine.asked_t_h else None


class DemandView(View):
    document = DemandResult

    def __init__(self, machine: MachineView) -> None:
        base = ("machines", machine.tag, "asked_t_h")
        tonnages = machine.machine.asked_t_h.items()
        asked = [machine.rated.numbers.of((*base, outlet), plain) for outlet, plain in tonnages]
        self.asked_t_h: Array = sum(asked, start=np.zeros(1))
        self.delivered_t_h = np.minimum(self.asked_t_h, machine.feed_t_h)
        self.shortfall_t_h = self.asked_t_h - self.delivered_t_h
