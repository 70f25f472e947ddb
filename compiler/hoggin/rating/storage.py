"""What bins and stockpiles hold, how much of it is live, and how long that lasts."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from hoggin.models import storage
from hoggin.models.arrays import Array, over
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
    """A stated live mass goes before one worked out, a stated live share before the cone's. The
    pile is a whole cone with one opening under its apex."""

    document = StorageResult

    def __init__(self, machine: MachineView) -> None:
        self._machine = machine
        self._none = machine.none
        height = machine.fact("height_mm")
        self._height = None if height is None else height / 1000
        self._live, self._share = machine.fact("live_t"), machine.fact("live_share")

    @property
    def height_m(self) -> Array:
        return self._none if self._height is None else self._height

    @property
    def _drawdown(self) -> Array:
        stated = self._machine.fact("drawdown_angle_deg")
        return self.repose_deg if stated is None else stated

    @property
    def repose_deg(self) -> Array:
        if self._height is None:
            return self._none
        stated = self._machine.fact("repose_angle_deg")
        return np.array([REPOSE_DEG]) if stated is None else stated

    @property
    def drawdown_deg(self) -> Array:
        by_angles = self._height is not None and self._live is None and self._share is None
        return self._drawdown if by_angles else self._none

    @property
    def base_diameter_m(self) -> Array:
        if self._height is None:
            return self._none
        return 2 * storage.base_radius_m(self._height, self.repose_deg)

    @cached_property
    def volume_m3(self) -> Array:
        if self._height is not None:
            return storage.cone_volume_m3(self._height, self.repose_deg)
        stated = self._machine.fact("volume_m3")
        return self._none if stated is None else stated

    @cached_property
    def held_t(self) -> Array:
        machine = self._machine
        return self.volume_m3 * machine.rated.mixture(machine.tag).bulk_density_t_m3

    @cached_property
    def live_share(self) -> Array:
        if self._live is not None:
            return over(self._live, self.held_t)
        if self._share is not None:
            return self._share
        if self._height is not None:
            return storage.live_share(self.repose_deg, self._drawdown)
        return over(self.held_t, self.held_t)  # 1 where it is known what is held

    @cached_property
    def live_t(self) -> Array:
        return self.held_t * self.live_share if self._live is None else self._live

    @property
    def through_t_h(self) -> Array:
        return self._machine.feed_t_h

    @property
    def surge_time_h(self) -> Array:
        return over(self.live_t, self.through_t_h, ~self._machine.feed.empty)
