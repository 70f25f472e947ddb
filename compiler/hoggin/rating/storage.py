"""What bins and stockpiles hold, how much of it is live, and how long that lasts."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hoggin.models import storage
from hoggin.models.arrays import over
from hoggin.rating.view import View
from hoggin.schema.facts import usual
from hoggin.schema.kinds import STORES
from hoggin.schema.results import StorageResult

if TYPE_CHECKING:
    from hoggin.rating.machines import MachineView

REPOSE_DEG = usual("stockpile", "repose_angle")


def stored(machine: MachineView) -> StorageView | None:
    """The storage of a bin or stockpile; None for other machines, or where nothing is stated."""
    if machine.kind not in STORES or not (machine.machine.facts or stackers(machine)):
        return None
    return StorageView(machine)


def stackers(machine: MachineView) -> list[MachineView]:
    """The conveyors that build a stockpile, of those whose class says how high they can."""
    if machine.kind != "stockpile":
        return []
    rated = machine.rated
    sources = {rated.plant.streams[at].source for at in rated.streams_into(machine.tag)}
    built = (one for one in rated.plant.machines if one.tag in sources)
    return [rated.machine(one.tag) for one in built if "pile_height_mm" in one.facts]


class StorageView(View):
    """A stated live mass goes before one computed, a stated live share before the cone's. The
    pile is a whole cone with one opening under its apex; a stacker that moves its top along an arc
    makes a ridge of it, which is loaded from the ground. Without a height of its own it is as high
    as the lowest of its stackers builds it."""

    document = StorageResult

    def __init__(self, machine: MachineView) -> None:
        none, height = machine.none, machine.fact("height_mm")
        by = stackers(machine)
        if height is None and by:
            height = np.minimum.reduce(
                np.broadcast_arrays(*(one.stated("pile_height_mm") for one in by))
            )
        arc_m = by[0].stated("pile_arc_mm", 0.0) / 1000 if len(by) == 1 else np.zeros(1)
        live, share = machine.fact("live_t"), machine.fact("live_share")
        self.height_m = self.repose_deg = self.base_diameter_m = self.drawdown_deg = none
        self.volume_m3 = machine.stated("volume_m3")
        if height is not None:
            self.height_m = height / 1000
            self.repose_deg = machine.stated("repose_angle_deg", REPOSE_DEG)
            self.base_diameter_m = 2 * storage.base_radius_m(self.height_m, self.repose_deg)
            cone = storage.cone_volume_m3(self.height_m, self.repose_deg)
            ridge = storage.ridge_volume_m3(self.height_m, self.repose_deg, arc_m)
            self.volume_m3 = cone + ridge
        self.held_t = self.volume_m3 * machine.rated.mixture(machine.tag).bulk_density_t_m3
        if live is not None:
            self.live_share = over(live, self.held_t)
        elif share is not None:
            self.live_share = share
        elif height is not None and not arc_m.any():
            drawdown = machine.fact("drawdown_angle_deg")
            self.drawdown_deg = self.repose_deg if drawdown is None else drawdown
            self.live_share = storage.live_share(self.repose_deg, self.drawdown_deg)
        else:
            self.live_share = over(self.held_t, self.held_t)  # 1 where it is known what is held
        self.live_t = self.held_t * self.live_share if live is None else live
        drawn = machine.demand
        self.through_t_h = machine.feed_t_h if drawn is None else drawn.delivered_t_h
        flowing = ~machine.feed.empty & (self.through_t_h > 0.0)
        self.surge_time_h = over(self.live_t, self.through_t_h, flowing)
        self.fill_time_h = over(self.held_t, machine.feed_t_h, ~machine.feed.empty)
