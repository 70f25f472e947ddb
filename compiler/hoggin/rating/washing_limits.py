"""Washing against its limits, in one case: the water of wet screens, what classifiers discharge and
cut at, what their flow needs, and the head of a pump that feeds cyclones."""

from __future__ import annotations

from hoggin.models.slurry import head_m
from hoggin.rating.checks import LOAD_WATCH, checked, within
from hoggin.rating.machines import MachineView
from hoggin.rating.view import picked
from hoggin.schema.results import Check, ClassifierResult, MachineResult, Verdict

# How much coarser than stated a cyclone may cut: correlations differ from each other by as much.
# How much finer a classifier may cut before its coarse product keeps more fines than the balance
# says. Common practice, no source.
COARSER, FINER = 1.25, 1 / 1.5
_UM_PER_MM = 1000.0


def washing_checks(machine: MachineView, one: MachineResult, case: int) -> tuple[Check, ...]:
    """All checks of a classifier, a wet screen, and a pump before a classifier."""
    found = one.classifier
    if found is None:
        return (*_water(one), *_head(machine, one, case))
    return (*_discharge(one), *_rim(found), *_pool(found), *_flow(found, one))


def _water(one: MachineResult) -> list[Check]:
    """Whether a screen that works wet is given the water for it."""
    found = one.rinse
    if found is None or found.water_share is None:
        return []
    given, needed = found.water_m3_h, found.water_needed_m3_h
    text = f"{given:.0f} m3/h of water, wet screening takes {needed:.0f} m3/h"
    verdict: Verdict = "watch" if given < needed else "ok"
    return [checked("water", verdict, text, given, needed, "m3/h", "W0543")]


def _discharge(one: MachineResult) -> list[Check]:
    """Whether a spiral, or what else brings out the coarse product, keeps up."""
    if one.load is None or one.capacity_t_h is None:
        return []
    text = (
        f"{one.load * one.capacity_t_h:.0f} t/h of coarse product, it can discharge "
        f"{one.capacity_t_h:.0f} t/h ({100 * one.load:.0f} %)"
    )
    verdict = within(one.load, 1.0, LOAD_WATCH)
    return [checked("load", verdict, text, 100 * one.load, 100.0, "%", "W0501")]


def _rim(found: ClassifierResult) -> list[Check]:
    """Whether a spiral is slow enough for the fines of its sand (`capacity.fastest_rim_m_s`)."""
    speed, fastest = found.rim_speed_m_s, found.fastest_rim_m_s
    if speed is None or fastest is None:
        return []
    text = f"rim of the spiral at {speed:.3g} m/s, sand as fine as this is raked up to "
    text += f"{fastest:.2f} m/s"
    verdict: Verdict = "watch" if speed > fastest * (1 + 1e-9) else "ok"
    return [checked("spiral speed", verdict, text, speed, fastest, "m/s", "W0545")]


def _pool(found: ClassifierResult) -> list[Check]:
    """Whether a pool settles the stated cut size, and not much finer sizes."""
    use, needed, fitted = found.surface_use, found.surface_needed_m2, found.surface_m2
    if use is None or needed is None or fitted is None or found.cut_size_mm is None:
        return []  # where nothing overflows either
    text = (
        f"{fitted:.1f} m2 of pool settle {_um(found.cut_size_mm)} "
        f"at {found.overflow_m3_h:.0f} m3/h of overflow; "
        f"{_um(found.stated_cut_mm)} takes {needed:.1f} m2"
    )
    verdict = within(use, 1.0, LOAD_WATCH)
    return [
        checked("pool", verdict, text, needed, fitted, "m2", "W0540"),
        *_cut(found, coarsest=None),
    ]


def _flow(found: ClassifierResult, one: MachineResult) -> list[Check]:
    """Whether the flow goes through so many cyclones at a usual pressure; only then, whether they
    cut at the stated size."""
    passes, pressure = found.passes_m3_h, found.pressure_kpa
    if passes is None or one.slurry is None:
        return _cut(found, coarsest=COARSER) if found.surface_m2 is None else []
    flow = one.slurry.flow_m3_h
    text = f"{flow:.3g} m3/h of slurry, {passes:.3g} m3/h pass at its largest pressure drop"
    verdict = within(flow, passes)
    if verdict == "over":
        return [checked("cyclone flow", verdict, text, flow, passes, "m3/h", "W0541")]
    text += "" if pressure is None else f"; this flow takes {pressure:.3g} kPa"
    return [
        checked("cyclone flow", verdict, text, flow, passes, "m3/h", "W0541"),
        *_cut(found, coarsest=COARSER),
    ]


def _cut(found: ClassifierResult, coarsest: float | None) -> list[Check]:
    """Whether it cuts at the size that the balance takes. coarsest: over the stated size."""
    cut, stated = found.cut_size_mm, found.stated_cut_mm
    if cut is None:
        return []
    text = f"cuts at {_um(cut)} under its flow, {_um(stated)} stated"
    verdict: Verdict = "ok"
    if cut < FINER * stated:
        verdict = "watch"
        text += ": the coarse product keeps more fines than the balance says"
        if found.surface_use:
            fitting = found.overflow_m3_h / found.surface_use
            text += f"; an overflow of {fitting:.0f} m3/h cuts at the stated size"
    elif coarsest is not None and cut > coarsest * stated:
        verdict = "over"
        text += ": more sand leaves with the fine product than the balance says"
    return [checked("cut size", verdict, text, cut, stated, "mm", "W0542")]


def _head(machine: MachineView, one: MachineResult, case: int) -> list[Check]:
    """Whether a pump's head is at least the pressure drop of the cyclones that it feeds."""
    if one.slurry is None or one.slurry.head_m is None or one.slurry.density_t_m3 is None:
        return []
    fed = [
        one_fed.classifier.pressure_kpa
        for one_fed in machine.fed_machines
        if one_fed.classifier is not None
    ]
    pressures = [kpa for kpa in (picked(found, case) for found in fed) if kpa is not None]
    if not pressures:
        return []
    head, taken = one.slurry.head_m, head_m(max(pressures), one.slurry.density_t_m3)
    text = f"{head:.3g} m of head, the cyclone after it takes {taken:.3g} m; height and pipes add"
    verdict = within(taken, head)
    return [checked("pump head", verdict, text, taken, head, "m", "W0544")]


def _um(size_mm: float) -> str:
    """A size that is usually given in micrometres: `150 um`."""
    return f"{_UM_PER_MM * size_mm:.3g} um"
