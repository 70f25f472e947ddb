"""Tramp metal: how large it may be where it arrives, and what a crusher's relief lets through."""

from __future__ import annotations

import math

from hoggin.graph import reached
from hoggin.models.setting import gap_of_lift_mm
from hoggin.rating.checks import checked
from hoggin.rating.machines import MachineView
from hoggin.rating.setting import set_to
from hoggin.rating.view import picked
from hoggin.schema.kinds import KINDS
from hoggin.schema.plant import Plant
from hoggin.schema.results import Check, Verdict

_RIGHT_ANGLE = 90.0  # of a relief whose stroke is stated as the opening itself


def arriving_tramp(plant: Plant) -> dict[str, float]:
    """Largest tramp metal that can reach each machine, mm: that of every feed upstream of it from
    which a way leads past all that takes tramp metal out."""
    arriving: dict[str, float] = {}
    onward: dict[str, list[str]] = {}
    stops = {machine.tag for machine in plant.machines if KINDS[machine.kind].stops_tramp}
    for stream in plant.streams:
        if stream.source not in stops:
            onward.setdefault(stream.source, []).append(stream.target)
    for feed in plant.feeds:
        if feed.tramp_mm is not None:
            for tag in reached([feed.tag], onward):
                arriving[tag] = max(arriving.get(tag, 0.0), feed.tramp_mm)
    return arriving


def tramp_checks(machine: MachineView, case: int, tramp_mm: float | None) -> list[Check]:
    """Tramp metal against what the relief opens to: at the setting, and at the closest setting of
    the class, since a setting is changed more easily than a machine.

    The relief of a cone moves bowl or head along the axis: its stroke opens the chamber by less,
    as the chamber's angle says. Where a class gives no angle its stroke is the opening."""
    relief, found = machine.fact("relief_stroke_mm"), set_to(machine)
    if tramp_mm is None or relief is None or found is None:
        return []
    name, value = found
    setting, stroke = picked(value, case), picked(relief, case)
    angle = machine.number("chamber_angle_deg", case)
    opens = float(gap_of_lift_mm(stroke, angle or _RIGHT_ANGLE)[0])
    how = f"{name} + {opens:.0f} mm"
    if angle is not None:
        how += f", the relief's {stroke:.0f} mm stroke x sin {angle:.0f} deg"
    verdict: Verdict = "over" if tramp_mm > setting + opens else "ok"
    text = f"tramp to {tramp_mm:.0f} mm, relief opens to {setting + opens:.0f} mm ({how})"
    checks = [checked("tramp relief", verdict, text, tramp_mm, setting + opens, "mm", "W0505")]
    closest = machine.number("closest_setting_mm", case)
    if closest is None or verdict == "over":
        return checks
    verdict = "watch" if tramp_mm > closest + opens else "ok"
    text = f"the class's closest setting, {closest:.0f} mm, opens to {closest + opens:.0f} mm"
    if verdict == "watch":
        wide = math.ceil(tramp_mm - opens)
        text = f"tramp to {tramp_mm:.0f} mm passes at {name} {wide:d} mm and wider only; " + text
    row = "tramp relief, closest setting"
    return [*checks, checked(row, verdict, text, tramp_mm, closest + opens, "mm", "W0513")]
