"""What bins and stockpiles hold, how much of it is live, and how long that lasts."""

from __future__ import annotations

from typing import TYPE_CHECKING

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
    if machine.kind not in STORES or not machine.machine.facts:
        return None
    return StorageView(machine)


class StorageView(View):
    """A stated live mass goes before one computed, a stated live share before the cone's. The
    pile is a whole cone with one opening under its apex."""

    document = StorageResult

    def __init__(self, machine: MachineView) -> None:
        none, height = machine.none, machine.fact("height_mm")
        live, share = machine.fact("live_t"), machine.fact("live_share")
        self.height_m = self.repose_deg = self.base_diameter_m = self.drawdown_deg = none
        self.volume_m3 = machine.stated("volume_m3")
        if height is not None:
            self.height_m = height / 1000
            self.repose_deg = machine.stated("repose_angle_deg", REPOSE_DEG)
            self.base_diameter_m = 2 * storage.base_radius_m(self.height_m, self.repose_deg)
            self.volume_m3 = storage.cone_volume_m3(self.height_m, self.repose_deg)
        self.held_t = self.volume_m3 * machine.rated.mixture(machine.tag).bulk_density_t_m3
        if live is not None:
            self.live_share = over(live, self.held_t)
        elif share is not None:
            self.live_share = share
        elif height is not None:
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
