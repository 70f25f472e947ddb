"""What the moisture of its feed takes of a crusher's capacity."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hoggin.balance.result import Array
from hoggin.models import packing
from hoggin.rating.view import View
from hoggin.schema.results import MoistureResult

if TYPE_CHECKING:
    from hoggin.rating.machines import MachineView


def capacity_kept(machine: MachineView) -> Array:
    """Share of the dry capacity that moisture leaves; 1 where the class states no loss."""
    loss = machine.fact("moisture_capacity_loss")
    if not machine.crushes or loss is None:
        return np.ones(1)
    limit, moisture = moisture_limit(machine), machine.rated.moisture_into(machine.tag)
    return packing.moist_capacity_share(moisture, limit=limit, loss=loss)


def moisture_limit(machine: MachineView) -> Array:
    """Moisture up to which capacity is the dry one, and fines don't pack."""
    return machine.stated("moisture_limit", packing.PACKING_MOISTURE)


def moisture_loss(machine: MachineView) -> MoistureView | None:
    """What moisture takes of the capacity; None where the class states no loss."""
    if not machine.machine.facts.get("moisture_capacity_loss"):
        return None
    return None if np.isnan(machine.dry_capacity_t_h).all() else MoistureView(machine)


class MoistureView(View):
    document = MoistureResult

    def __init__(self, machine: MachineView) -> None:
        self.moisture = machine.rated.moisture_into(machine.tag)
        self.dry_capacity_t_h = machine.dry_capacity_t_h
        self.lost = 1.0 - capacity_kept(machine)
