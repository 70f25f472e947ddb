"""Sumps, pumps and thickeners: two sections of the equipment schedule."""

from __future__ import annotations

from hoggin.report.fields import number, result, results_of, table, words
from hoggin.report.tables import Section, Table, Value, where_rows
from hoggin.schema.results import MachineResult, Results

_SLURRY_NOTE = (
    "Flow: volumes of solids and water together, with the water that is put in there. A pump "
    "draws density x g x flow x head over its efficiency, head in metres of slurry. The friction "
    "of pipes, the speed that keeps solids moving, and what solids take of a pump's head are for "
    "the system's designer."
)
_SLURRY_CAUTION = (
    "Slurry jets cut, sumps drown, and spilled slurry makes floors slippery: cover and rail sumps "
    "and launders, and lock out, drain and prove dead before opening pump or pipe. Local codes "
    "govern."
)
_THICKENER_NOTE = (
    "Surface needed: the larger of what the solids need to settle (Coe & Clevenger, 1916, from "
    "memory, by the class's settling test) and what the water needs to rise no faster than the "
    "class allows. Flocculant and fines decide both: test your own. Water reused goes back to "
    "sprays as a sum, with no solids: it is not led round in the balance."
)
_THICKENER_CAUTION = (
    "A thickener drowns: rail it, keep life rings ready, and never work over the pool alone. "
    "Tank and tunnel are confined spaces. Local codes and licensed practice govern."
)


def sections(results: Results) -> tuple[Section, ...]:
    """Slurry and thickeners with what they rest on; empty for a plant without any."""
    slurry = where_rows("Slurry", (_SLURRY_NOTE, _SLURRY_CAUTION), slurries(results))
    settled = where_rows("Thickeners", (_THICKENER_NOTE, _THICKENER_CAUTION), thickeners(results))
    return (*slurry, *settled)


def _minutes(machine: MachineResult) -> Value:
    found = machine.slurry
    return None if found is None or found.residence_h is None else 60 * found.residence_h


_SLURRY = (
    words("tag", lambda machine: machine.tag, 20),
    words("kind", lambda machine: machine.kind, 12),
    result(MachineResult, "slurry.flow_m3_h", kind="rate"),
    result(MachineResult, "slurry.density_t_m3", "density"),
    result(MachineResult, "slurry.solids_share", "solids by mass"),
    number("holds for", "min", "number", _minutes),
    result(MachineResult, "slurry.flow_use", "of the pump's flow"),
    result(MachineResult, "slurry.head_m", kind="rate"),
    result(MachineResult, "power_kw", "drawn"),
)


def slurries(results: Results) -> Table:
    """One row a machine that works on slurry."""
    return table("Slurry", _SLURRY, [machine for machine in results.machines if machine.slurry])


_THICKENER = (
    words("tag", lambda machine: machine.tag, 20),
    result(MachineResult, "thickener.surface_m2", kind="rate"),
    result(MachineResult, "thickener.surface_needed_m2", kind="rate"),
    result(MachineResult, "thickener.surface_use"),
    *results_of(MachineResult, "feed_t_h", "capacity_t_h"),
    result(MachineResult, "thickener.underflow_solids", "underflow, solids by mass"),
    result(MachineResult, "thickener.overflow_m3_h", kind="rate"),
    result(MachineResult, "thickener.water_reused_m3_h", kind="rate"),
)


def thickeners(results: Results) -> Table:
    """One row a thickener."""
    found = [machine for machine in results.machines if machine.thickener]
    return table("Thickeners", _THICKENER, found)
