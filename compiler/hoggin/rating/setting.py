"""How a crusher is set: its position from touching."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.result import Array
from hoggin.models.setting import gap_of_lift_mm, lift_for_gap_mm
from hoggin.rating.view import View
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
    """The position of bowl or shaft; None where the class does not give its chamber's angle."""
    found, angle = set_to(machine), machine.fact("chamber_angle_deg")
    return None if found is None or angle is None else PositionView(machine, found[1], angle)


class PositionView(View):
    """Counted from the liners' touching."""

    document = SettingPosition

    def __init__(self, machine: MachineView, css_mm: Array, angle_deg: Array) -> None:
        self.css_mm = css_mm
        self.travel_mm = lift_for_gap_mm(css_mm, angle_deg)  # along the crusher's axis
        self.moves = machine.traits.get("setting_moves", "")
        self.liner_set = machine.traits.get("liner_set", "")
        self.turns = self.css_a_tooth_mm = machine.none
        # To the nearest tooth: whole turns, and the teeth beyond them.
        self.whole_turns: NDArray[np.int64] | None = None
        self.teeth: NDArray[np.int64] | None = None
        self.teeth_a_turn: NDArray[np.int64] | None = None
        pitch, teeth = machine.fact("thread_pitch_mm"), machine.fact("adjustment_teeth")
        if pitch is not None and teeth is not None:
            self.turns = self.travel_mm / pitch
            self.css_a_tooth_mm = gap_of_lift_mm(pitch / teeth, angle_deg)
            self.teeth_a_turn = np.rint(teeth).astype(np.int64)
            in_teeth = np.rint(self.travel_mm / pitch * teeth).astype(np.int64)
            self.whole_turns, self.teeth = np.divmod(in_teeth, self.teeth_a_turn)
