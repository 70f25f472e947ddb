"""Belt conveyors: power drawn with the rock's water on the belt, and lumps against the width."""

from __future__ import annotations

from dataclasses import dataclass

from hoggin.models import conveyors
from hoggin.rating.flows import Flows
from hoggin.rating.model_use import model_in_use
from hoggin.schema.plant import Machine
from hoggin.schema.results import BeltResult, Check


def belt_power_kw(machine: Machine, flows: Flows) -> float | None:
    """Power drawn by a conveyor; None for other machines."""
    found = model_in_use(machine, "belt_power")
    if found is None:
        return None
    model, use = found
    return float(model.load("power")(_wet_t_h(machine, flows), **use.coefficients)[0])


def belt(machine: Machine, flows: Flows) -> BeltResult | None:
    """Run, load and pull of a conveyor; None for other machines."""
    use = machine.models.get("belt_power")
    if use is None:
        return None
    run = dict(use.coefficients)
    del run["efficiency"]
    length, lift, speed = run["length"], run["lift"], run["travel_speed"]
    trough = _trough(machine)
    return BeltResult(
        length_m=length,
        lift_m=lift,
        slope_deg=float(conveyors.slope_deg(length, lift)[0]),
        travel_speed_m_s=speed,
        width_mm=trough.width_mm if trough else None,
        section_m2=trough.section_m2 if trough else None,
        slope_factor=trough.slope_factor if trough else None,
        rock_kg_m=_wet_t_h(machine, flows) * 1000 / 3600 / speed,
        secondary_coefficient=float(conveyors.secondary_coefficient(length)[0]),
        pull_n=float(conveyors.belt_force_n(_wet_t_h(machine, flows), **run)[0]),
    )


@dataclass(frozen=True, slots=True)
class _Trough:
    width_mm: float
    section_m2: float
    slope_factor: float


def _trough(machine: Machine) -> _Trough | None:
    use = machine.models.get("capacity")
    if use is None or use.model != "trough":
        return None
    value = use.coefficients
    surcharge = value["surcharge_angle"]
    shape = value["width"], value["middle_roll"], value["trough_angle"], surcharge
    section = conveyors.section_m2(*shape)
    run = value["length"], value["lift"]
    factor = conveyors.slope_factor(*run, surcharge, conveyors.cap_share(*shape))
    return _Trough(value["width"], float(section[0]), float(factor[0]))


def _wet_t_h(machine: Machine, flows: Flows) -> float:
    return flows.into(machine.tag).rate_t_h * (1 + flows.moisture_into(machine.tag))


def conveyor_checks(machine: Machine, flows: Flows) -> list[Check]:
    """Whether the largest lumps lie safely on the belt, and whether rock stays on its slope."""
    return [*_lump_checks(machine, flows), *_slope_checks(machine)]


def _lump_checks(machine: Machine, flows: Flows) -> list[Check]:
    largest = machine.facts.get("max_lump_mm")
    top = flows.into(machine.tag).top_size_mm
    if largest is None or top is None:
        return []
    text = f"rock to {top:.0f} mm (98 % passing), the belt takes lumps to {largest:.0f} mm"
    return [_check("lumps on the belt", text, top, largest, "mm", "W0518")]


def _slope_checks(machine: Machine) -> list[Check]:
    steepest = machine.facts.get("max_slope_deg")
    use = machine.models.get("belt_power")
    if steepest is None or use is None:
        return []
    run = use.coefficients
    slope = float(conveyors.slope_deg(run["length"], run["lift"])[0])
    text = f"rises at {slope:.1f} deg, rock stays on the belt to {steepest:g} deg"
    return [_check("slope", text, slope, steepest, "deg", "W0519")]


def _check(name: str, text: str, value: float, limit: float, unit: str, code: str) -> Check:
    fits = value <= limit
    return Check(
        name=name,
        verdict="ok" if fits else "over",
        text=text,
        value=value,
        limit=limit,
        unit=unit,
        code=None if fits else code,
    )
