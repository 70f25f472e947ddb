"""How a crusher is set and fed: its position from touching, and trickle feeding."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from hoggin.balance.result import Array
from hoggin.models.setting import gap_of_lift_mm, lift_for_gap_mm
from hoggin.rating.view import View
from hoggin.schema.plant import Machine
from hoggin.schema.results import SettingPosition

if TYPE_CHECKING:
    from hoggin.rating.machines import MachineView


def set_to(machine: MachineView) -> tuple[str, Array] | None:
    """What the chamber is set to, mm, and what the class calls it: a css or a gap."""
    for name in ("css", "gap"):
        value = machine.rated.numbers.setting(machine.machine, name)
        if value is not None:
            return name, value
    return None


def position(machine: MachineView) -> PositionView | None:
    """Where bowl or shaft stands; None where the class does not give its chamber's angle."""
    found, angle = set_to(machine), machine.fact("chamber_angle_deg")
    return None if found is None or angle is None else PositionView(machine, found[1], angle)


class PositionView(View):
    """Counted from the liners' touching."""

    document = SettingPosition

    def __init__(self, machine: MachineView, css_mm: Array, angle_deg: Array) -> None:
        self.css_mm, self._angle = css_mm, angle_deg
        self.moves = machine.traits.get("setting_moves", "")
        self.liner_set = machine.traits.get("liner_set", "")
        pitch, teeth = machine.fact("thread_pitch_mm"), machine.fact("adjustment_teeth")
        self._thread = (pitch, teeth) if pitch is not None and teeth is not None else None
        self._none = machine.none

    @cached_property
    def travel_mm(self) -> Array:
        """Along the crusher's axis."""
        return lift_for_gap_mm(self.css_mm, self._angle)

    @property
    def turns(self) -> Array:
        return self._none if self._thread is None else self.travel_mm / self._thread[0]

    @property
    def whole_turns(self) -> Array | None:
        """To the nearest tooth, with the teeth beyond them."""
        return None if self._thread is None else self._in_teeth // self._teeth

    @property
    def teeth(self) -> Array | None:
        return None if self._thread is None else self._in_teeth % self._teeth

    @property
    def teeth_a_turn(self) -> Array | None:
        return None if self._thread is None else self._teeth

    @property
    def css_a_tooth_mm(self) -> Array:
        if self._thread is None:
            return self._none
        return gap_of_lift_mm(self._thread[0] / self._thread[1], self._angle)

    @property
    def _teeth(self) -> Array:
        assert self._thread is not None
        return np.rint(self._thread[1]).astype(np.int64)

    @property
    def _in_teeth(self) -> Array:
        assert self._thread is not None
        return np.rint(self.travel_mm / self._thread[0] * self._thread[1]).astype(np.int64)


def fed_by_trickle(machine: Machine) -> bool:
    return any(s.name == "feeding" and s.text == "trickle" for s in machine.settings)


def share_as_fed(machine: MachineView) -> Array:
    """Share of its full capacity that a machine can take as it is fed. A chamber stays part filled
    only up to the class's `min_load`: so much, and no more, can be fed by trickle."""
    least = machine.fact("min_load") if fed_by_trickle(machine.machine) else None
    return np.ones(1) if least is None else least
