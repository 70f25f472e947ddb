"""Machines against their limits, in one case: load, reduction, opening, power, belt, storage."""

from __future__ import annotations

from hoggin.models import packing
from hoggin.rating.checks import LOAD_WATCH, checked, within
from hoggin.rating.energy import has_given_motor, motor_margin, needed_motor_kw
from hoggin.rating.machines import MachineView
from hoggin.rating.moisture import moisture_limit
from hoggin.rating.setting import set_to
from hoggin.rating.storage import stackers
from hoggin.rating.tabulated import table_checks
from hoggin.rating.tramp import tramp_checks
from hoggin.rating.view import picked
from hoggin.rating.washing_limits import washing_checks
from hoggin.schema.facts import usual
from hoggin.schema.kinds import STORES
from hoggin.schema.results import Check, MachineResult, Verdict

# Common practice, no source, for all of these:
OPENING_SHARE = 0.85  # largest piece over feed opening, so that slabs don't bridge
POWER_WATCH = 0.90  # of installed power
BREAKS_NOTHING = 1.05  # F80 over P80
OUTLET_SHARE = 1 / 3  # largest piece over the narrower side of a store's opening: more arches over

RESIDENCE_H = usual("sump", "min_residence")

_SHORT = 1e-6  # of what is asked: more than rounding leaves

_SQUEEZING = (
    "matrix",
    "matrix_t10",
    "setting_curve",
    "table",
)  # models of breakage between two faces


def machine_checks(machine: MachineView, one: MachineResult, case: int) -> tuple[Check, ...]:
    """All checks of a machine but those of its decks. `one` is its numbers in this case."""
    return (
        *_load(machine, one, case),
        *_ratio(machine, one, case),
        *_opening(machine, one, case),
        *_packing(machine, one, case),
        *_power(machine, one, case),
        *_storage(one),
        *_demand(one),
        *_lumps(machine, one, case),
        *_outlet(machine, one, case),
        *_slope(machine, one, case),
        *_pile(machine, case),
        *_flow(machine, one, case),
        *_residence(machine, one, case),
        *_surface(one),
        *table_checks(machine, one, case),
        *washing_checks(machine, one, case),
        *tramp_checks(machine, case),
    )


def _load(machine: MachineView, one: MachineResult, case: int) -> list[Check]:
    if one.load is None or one.capacity_t_h is None or one.classifier is not None:
        return []
    check = _load_alone(machine, one, case)
    if one.moisture is None or not one.moisture.lost:
        return [check]
    said = (
        f"; capacity is {100 * one.moisture.lost:.0f} % less for "
        f"{100 * one.moisture.moisture:.1f} % moisture in the feed"
    )
    return [check.model_copy(update={"text": check.text + said})]


def _load_alone(machine: MachineView, one: MachineResult, case: int) -> Check:
    assert one.load is not None and one.capacity_t_h is not None
    least = machine.number("min_load", case) or 0.0
    text = f"load {100 * one.load:.0f} % of {one.capacity_t_h:.0f} t/h capacity"
    chamber_t_h: float = picked(machine.volume_capacity_t_h, case) / one.count
    by_volume: float = picked(machine.volume_load, case)
    if by_volume < one.load * (1 - _SHORT):
        text += f" by its motor, {100 * by_volume:.0f} % of {chamber_t_h:.0f} t/h by its chamber"
    if by_volume < least and one.load <= 1.0:
        text += f", under the {100 * least:.0f} % that keeps the chamber full"
        filled: float = picked(machine.filling, case)
        if filled < 1.0:
            text += f"; filling {100 * filled:.0f} %"
        return checked("load", "watch", text, 100 * by_volume, 100 * least, "%", "W0506")
    verdict = within(one.load, 1.0, LOAD_WATCH)
    return checked("load", verdict, text, 100 * one.load, 100.0, "%", "W0501")


def _ratio(machine: MachineView, one: MachineResult, case: int) -> list[Check]:
    most, ratio = machine.number("max_reduction_ratio", case), one.reduction_ratio
    if ratio is None or most is None:
        return []
    if ratio < BREAKS_NOTHING:
        text = f"breaks next to nothing: F80 {one.f80_mm:.3g} mm in, P80 {one.p80_mm:.3g} mm out"
        return [checked("reduction ratio", "watch", text, ratio, BREAKS_NOTHING, "", "W0552")]
    text = f"reduction ratio {ratio:.1f}, the class's limit {most:g}"
    return [checked("reduction ratio", within(ratio, most), text, ratio, most, "", "W0502")]


def _opening(machine: MachineView, one: MachineResult, case: int) -> list[Check]:
    opening, largest = (
        machine.number("feed_opening_mm", case),
        machine.number("max_feed_size_mm", case),
    )
    if largest is None and opening is not None:
        largest = OPENING_SHARE * opening
    top = one.top_size_mm
    if largest is None or top is None:
        return []
    verdict = within(top, largest)
    if machine.traits.get("feed_limit") == "nip":
        return [_nip(top, largest, machine.number("slip_free_size_mm", case))]
    stated = f"{100 * OPENING_SHARE:.0f} % of the {opening:.0f} mm opening" if opening else "limit"
    text = f"feed up to {top:.0f} mm (98 % passing), {stated} is {largest:.0f} mm"
    code = "W0503" if machine.crushes else "W0550"
    return [checked("feed opening", verdict, text, top, largest, "mm", code)]


def _nip(top: float, largest: float, slip_free: float | None) -> Check:
    """The largest piece against what rolls draw in: at rest, and as they move, where friction is
    smaller. In between pieces slip, and wear the shells, until rock behind them pushes."""
    text = f"feed up to {top:.0f} mm (98 % passing), the rolls nip up to {largest:.0f} mm"
    verdict = within(top, largest)
    if slip_free is not None and verdict == "ok" and top > slip_free:
        text += f", and over {slip_free:.0f} mm with slip at this speed"
        verdict = "watch"
    return checked("nip", verdict, text, top, largest, "mm", "W0514")


def _packing(machine: MachineView, one: MachineResult, case: int) -> list[Check]:
    """Fines in a moist feed (the rule and its standing: `packing.packing_likely`)."""
    use, found = machine.machine.models.get("breakage"), set_to(machine)
    if use is None or use.model not in _SQUEEZING or found is None or one.feed_t_h == 0.0:
        return []
    moisture, limit = one.moisture_of_feed, picked(moisture_limit(machine), case)
    if moisture is None or moisture <= limit:
        return []
    size = packing.PACKING_SIZE * picked(found[1], case)
    fines = picked(machine.feed.passing(size), case)
    clay = one.clay_of_feed
    likely = packing.packing_likely(moisture, fines, clay=clay, moisture_limit=limit)
    most = 100 * packing.PACKING_FINES
    text = (
        f"feed has {100 * moisture:.1f} % moisture and {100 * fines:.0f} % finer than "
        f"{size:.3g} mm, a quarter of the setting; above {100 * limit:g} % moisture, more than "
        f"{most:g} % fines can pack the chamber"
    )
    if clay > 0.0:
        sticky = 100 * packing.STICKY_CLAY
        text += f", and above {sticky:g} % clay fewer fines can; the rock has {100 * clay:.1f} %"
    verdict: Verdict = "watch" if likely else "ok"
    return [checked("packing", verdict, text, 100 * fines, most, "%", "W0516")]


def _power(machine: MachineView, one: MachineResult, case: int) -> list[Check]:
    """What it draws against its motor, where that is not chosen for this load."""
    if not has_given_motor(machine):
        return []
    power, installed, use = one.power_kw, one.installed_power_kw, one.power_use
    if power is None or installed is None or use is None:
        return []
    text = f"draws {power:.0f} kW of {installed:.0f} kW installed ({100 * use:.0f} %)"
    verdict = within(use, 1.0, POWER_WATCH)
    if verdict != "ok":
        needed: float = picked(needed_motor_kw(machine), case)
        margin = 100 * picked(motor_margin(machine), case)
        text += f"; with {margin:.0f} % for starting and peaks it needs a motor of {needed:.4g} kW"
    return [checked("installed power", verdict, text, power, installed, "kW", "W0504")]


def _storage(one: MachineResult) -> list[Check]:
    """Whether the live mass that is stated fits into the pile or bin that is stated."""
    found = one.storage
    if found is None or found.held_t is None or found.live_t is None:
        return []
    fits = found.live_t <= found.held_t * (1 + 1e-9)
    text = f"{found.live_t:.0f} t live of {found.held_t:.0f} t held"
    verdict: Verdict = "ok" if fits else "over"
    return [checked("live storage", verdict, text, found.live_t, found.held_t, "t", "W0517")]


def _demand(one: MachineResult) -> list[Check]:
    """Whether a splitter's tonnages arrive. A store's draw is the most it gives, not a promise."""
    found = one.demand
    if found is None or one.kind in STORES:
        return []
    short = found.shortfall_t_h > _SHORT * found.asked_t_h
    text = f"tonnages of {found.asked_t_h:.4g} t/h, {one.feed_t_h:.4g} t/h arrives"
    if short:
        text += f": {found.shortfall_t_h:.3g} t/h short"
    verdict: Verdict = "over" if short else "ok"
    asked = found.asked_t_h
    return [checked("tonnage", verdict, text, asked, one.feed_t_h, "t/h", "W0530")]


def _lumps(machine: MachineView, one: MachineResult, case: int) -> list[Check]:
    """Whether the largest lumps lie safely on a belt."""
    largest, top = machine.number("max_lump_mm", case), one.top_size_mm
    if largest is None or top is None:
        return []
    text = f"rock up to {top:.0f} mm (98 % passing), the belt takes lumps up to {largest:.0f} mm"
    return [checked("lumps on the belt", within(top, largest), text, top, largest, "mm", "W0518")]


def _outlet(machine: MachineView, one: MachineResult, case: int) -> list[Check]:
    """Whether the largest lumps can arch over the opening by which a store is drawn."""
    opening, top = machine.number("opening_mm", case), one.top_size_mm
    if opening is None or top is None:
        return []
    most = OUTLET_SHARE * opening
    text = f"rock up to {top:.0f} mm (98 % passing), a third of the opening is {most:.0f} mm"
    return [checked("lumps in the outlet", within(top, most), text, top, most, "mm", "W0550")]


def _slope(machine: MachineView, one: MachineResult, case: int) -> list[Check]:
    """Whether rock stays on a belt's slope."""
    steepest = machine.number("max_slope_deg", case)
    if steepest is None or one.belt is None:
        return []
    slope = one.belt.slope_deg
    text = f"slope {slope:.1f} deg, rock stays on the belt up to {steepest:g} deg"
    return [checked("slope", within(slope, steepest), text, slope, steepest, "deg", "W0519")]


def _pile(machine: MachineView, case: int) -> list[Check]:
    """Whether the stackers of a pile reach the height that is stated for it."""
    stated, by = machine.number("height_mm", case), stackers(machine)
    if stated is None or not by:
        return []
    lowest = min(by, key=lambda stacker: picked(stacker.stated("pile_height_mm"), case))
    height, most = stated / 1000, picked(lowest.stated("pile_height_mm"), case) / 1000
    text = f"pile {height:.1f} m high, `{lowest.tag}` can build {most:.1f} m"
    return [checked("pile height", within(height, most), text, height, most, "m", "W0531")]


def _flow(machine: MachineView, one: MachineResult, case: int) -> list[Check]:
    """Whether a pump passes the slurry that comes."""
    most, found = machine.number("max_flow_m3_h", case), one.slurry
    if most is None or found is None:
        return []
    text = f"{found.flow_m3_h:.0f} m3/h of slurry, the pump takes up to {most:.0f} m3/h"
    verdict = within(found.flow_m3_h, most, LOAD_WATCH)
    return [checked("pump flow", verdict, text, found.flow_m3_h, most, "m3/h", "W0532")]


def _residence(machine: MachineView, one: MachineResult, case: int) -> list[Check]:
    """Whether a sump holds what runs through for as long as its pump needs to follow."""
    if one.slurry is None or one.slurry.residence_h is None:
        return []
    least, holds = machine.number("min_residence_h", case) or RESIDENCE_H, one.slurry.residence_h
    verdict: Verdict = "over" if holds < least else "ok"
    text = f"slurry stays {60 * holds:.2g} min, at least {60 * least:.2g} min needed"
    return [checked("residence time", verdict, text, holds, least, "h", "W0533")]


def _surface(one: MachineResult) -> list[Check]:
    """Whether a thickener's water rises slowly enough; what settles is its load."""
    found = one.thickener
    if found is None or found.surface_needed_m2 is None or found.surface_use is None:
        return []
    fitted, needed = found.surface_m2, found.surface_needed_m2
    text = f"{needed:.0f} m2 of surface needed, {fitted:.0f} m2 fitted"
    verdict = within(found.surface_use, 1.0, LOAD_WATCH)
    return [checked("surface", verdict, text, needed, fitted, "m2", "W0534")]
