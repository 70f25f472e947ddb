"""How a crusher is set and fed: its position from touching, tramp over the setting range, trickle
feeding, and the nip of rolls."""

from __future__ import annotations

import math

from hoggin.models.setting import gap_of_lift_mm, lift_for_gap_mm
from hoggin.schema.plant import Machine
from hoggin.schema.results import Check, SettingPosition, Verdict

_RIGHT_ANGLE = 90.0  # of a relief whose stroke is stated as the opening itself


def position(machine: Machine) -> SettingPosition | None:
    """Where bowl or shaft stands, counted from the liners' touching; None where the class does not
    give its chamber's angle."""
    found, angle = _setting(machine), machine.facts.get("chamber_angle_deg")
    if found is None or angle is None:
        return None
    _, css = found
    lift = float(lift_for_gap_mm(css, angle)[0])
    return SettingPosition(
        css_mm=css,
        moves=machine.traits.get("setting_moves", ""),
        travel_mm=lift,
        **_on_the_thread(machine, lift, angle),
        liner_set=machine.traits.get("liner_set", ""),
    )


def _on_the_thread(machine: Machine, lift: float, angle: float) -> dict[str, float | int]:
    """Turns of the bowl, as a number and as whole turns and teeth, and what one tooth is worth."""
    pitch, teeth = machine.facts.get("thread_pitch_mm"), machine.facts.get("adjustment_teeth")
    if not pitch or not teeth:
        return {}
    whole, rest = divmod(round(lift / pitch * teeth), round(teeth))
    return {
        "turns": lift / pitch,
        "whole_turns": whole,
        "teeth": rest,
        "teeth_a_turn": round(teeth),
        "css_a_tooth_mm": float(gap_of_lift_mm(pitch / teeth, angle)[0]),
    }


def fed_by_trickle(machine: Machine) -> bool:
    return any(s.name == "feeding" and s.text == "trickle" for s in machine.settings)


def capacity_as_fed(machine: Machine, full_t_h: float | None) -> float | None:
    """What the machine can take as it is fed. A chamber stays part filled only up to the class's
    `min_load` of its full capacity: so much, and no more, can be fed by trickle."""
    if full_t_h is None or not fed_by_trickle(machine):
        return full_t_h
    return full_t_h * machine.facts.get("min_load", 1.0)


def trickle_checks(machine: Machine, feed_t_h: float, capacity_t_h: float) -> list[Check]:
    """The load of a machine fed by trickle, against what fills its chamber and what it can pass.

    The same rate, `min_load` of full capacity, parts both ways of feeding: a choke-fed machine is
    under-fed below it, and one that is said to be fed by trickle fills up above it."""
    full = capacity_t_h / machine.facts.get("min_load", 1.0)
    load = feed_t_h / capacity_t_h
    shown = f"feed {feed_t_h:.0f} t/h"
    if feed_t_h > full:
        text = f"{shown} over the {full:.0f} t/h that the full chamber passes"
        return [_load(100 * feed_t_h / full, text, "over", "W0501")]
    if load > 1:
        text = (
            f"{shown} fills the chamber, which stays part filled up to {capacity_t_h:.0f} t/h: "
            "said to be fed by trickle, it is not"
        )
        return [_load(100 * load, text, "watch", "W0512")]
    text = (
        f"fed by trickle, {shown} of the {capacity_t_h:.0f} t/h at which the chamber fills: "
        "grading and shape are those of a part-filled chamber"
    )
    return [_load(100 * load, text, "watch", "W0506")]


def _load(per_cent: float, text: str, verdict: Verdict, code: str) -> Check:
    return Check(
        name="load",
        verdict=verdict,
        text=text,
        value=per_cent,
        limit=100.0,
        unit="%",
        code=code,
    )


def tramp_checks(machine: Machine, tramp_mm: float | None) -> list[Check]:
    """Tramp metal against what the relief opens to: at the setting, and at the closest setting of
    the class, since a setting is changed more easily than a machine.

    The relief of a cone moves bowl or head along the axis: its stroke opens the chamber by less,
    as the chamber's angle says. Where a class gives no angle its stroke is the opening."""
    stroke, found = machine.facts.get("relief_stroke_mm"), _setting(machine)
    if tramp_mm is None or stroke is None or found is None:
        return []
    name, set_to = found
    angle = machine.facts.get("chamber_angle_deg")
    opens = float(gap_of_lift_mm(stroke, angle or _RIGHT_ANGLE)[0])
    how = f"{name} + {opens:.0f} mm"
    if angle is not None:
        how += f", the relief's {stroke:.0f} mm stroke x sin {angle:.0f} deg"
    verdict: Verdict = "over" if tramp_mm > set_to + opens else "ok"
    text = f"tramp to {tramp_mm:.0f} mm, relief opens to {set_to + opens:.0f} mm ({how})"
    checks = [_tramp("tramp relief", verdict, text, tramp_mm, set_to + opens, "W0505")]
    closest = machine.facts.get("closest_setting_mm")
    if closest is None or verdict == "over":
        return checks
    verdict = "watch" if tramp_mm > closest + opens else "ok"
    text = f"the class's closest setting, {closest:.0f} mm, opens to {closest + opens:.0f} mm"
    if verdict == "watch":
        least = math.ceil(tramp_mm - opens)
        text = f"tramp to {tramp_mm:.0f} mm passes at {name} {least:d} mm and wider only; " + text
    row = "tramp relief, closest setting"
    return [*checks, _tramp(row, verdict, text, tramp_mm, closest + opens, "W0513")]


def _tramp(name: str, verdict: Verdict, text: str, tramp: float, limit: float, code: str) -> Check:
    return Check(
        name=name,
        verdict=verdict,
        text=text,
        value=tramp,
        limit=limit,
        unit="mm",
        code=None if verdict == "ok" else code,
    )


def nip_checks(machine: Machine, top_mm: float | None) -> list[Check]:
    """The largest pieces of the feed against the size that the rolls draw in."""
    largest = machine.facts.get("max_feed_size_mm")
    if top_mm is None or largest is None:
        return []
    verdict: Verdict = "over" if top_mm > largest else "ok"
    return [
        Check(
            name="nip",
            verdict=verdict,
            text=f"feed to {top_mm:.0f} mm (98 % passing), the rolls nip up to {largest:.0f} mm",
            value=top_mm,
            limit=largest,
            unit="mm",
            code=None if verdict == "ok" else "W0514",
        )
    ]


def nips(machine: Machine) -> bool:
    """Whether the feed size is limited by the rolls' nip and not by a feed opening."""
    return machine.traits.get("feed_limit") == "nip"


def _setting(machine: Machine) -> tuple[str, float] | None:
    """What the chamber is set to, mm, and what the class calls it: a css or a gap."""
    for setting in machine.settings:
        if setting.name in ("css", "gap") and setting.value is not None:
            return setting.name, setting.value
    return None
