"""Sumps, pumps, classifiers and thickeners: three sections of the equipment schedule."""

from __future__ import annotations

from hoggin.report.fields import TAG, number, result, results_of, table, words
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
_CLASSIFIER_NOTE = (
    "The balance takes the stated cut. Beside it is the cut under the machine's flow: of a pool, "
    "the size that sinks as fast as its overflow rises (Ferguson & Church, 2004; Richardson & "
    "Zaki, 1954); of a cyclone, by Plitt (1976). All from memory; laws of settling differ by a "
    "fifth, those of cyclones by a third. Number needed: for this flow and this coarse product."
)
_CLASSIFIER_CAUTION = (
    "Pools and launders drown: cover and rail them. A spiral can start or run back by the weight "
    "of its sand, and slurry under pressure cuts: lock out, drain and prove dead. Local codes "
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
    """Slurry, classifiers and thickeners with what they rest on; empty for a plant without any."""
    slurry = where_rows("Slurry", (_SLURRY_NOTE, _SLURRY_CAUTION), slurries(results))
    notes = (_CLASSIFIER_NOTE, _CLASSIFIER_CAUTION)
    classified = where_rows("Classifiers", notes, classifiers(results))
    settled = where_rows("Thickeners", (_THICKENER_NOTE, _THICKENER_CAUTION), thickeners(results))
    return (*slurry, *classified, *settled)


def _minutes(machine: MachineResult) -> Value:
    found = machine.slurry
    return None if found is None or found.residence_h is None else 60 * found.residence_h


_SLURRY = (
    TAG,
    words("kind", lambda machine: machine.kind, 12),
    result(MachineResult, "slurry.flow_m3_h"),
    result(MachineResult, "slurry.density_t_m3", "density"),
    result(MachineResult, "slurry.solids_share", "solids by mass"),
    number("holds for", "min", "number", _minutes),
    result(MachineResult, "slurry.flow_use", "of the pump's flow"),
    result(MachineResult, "slurry.head_m"),
    result(MachineResult, "power_kw", "drawn"),
)


def slurries(results: Results) -> Table:
    """One row a machine that works on slurry."""
    return table("Slurry", _SLURRY, [machine for machine in results.machines if machine.slurry])


def _rise_mm_s(machine: MachineResult) -> Value:
    found = machine.classifier
    return None if found is None or found.rise_speed_m_s is None else 1000 * found.rise_speed_m_s


_CLASSIFIER = (
    TAG,
    number("cut stated", "mm", "stated", lambda machine: machine.classifier.stated_cut_mm),
    result(MachineResult, "classifier.cut_size_mm", "cut under its flow"),
    result(MachineResult, "classifier.overflow_m3_h"),
    number("rise", "mm/s", "rate", _rise_mm_s),
    result(MachineResult, "classifier.surface_m2"),
    result(MachineResult, "classifier.surface_needed_m2"),
    result(MachineResult, "classifier.pressure_kpa"),
    result(MachineResult, "classifier.passes_m3_h", "passes"),
    *results_of(MachineResult, "capacity_t_h", "load"),
    result(MachineResult, "classifier.number_needed", kind="count"),
)


def classifiers(results: Results) -> Table:
    """One row a classifier."""
    found = [machine for machine in results.machines if machine.classifier]
    return table("Classifiers", _CLASSIFIER, found)


_THICKENER = (
    TAG,
    result(MachineResult, "thickener.surface_m2"),
    result(MachineResult, "thickener.surface_needed_m2"),
    result(MachineResult, "thickener.surface_use"),
    *results_of(MachineResult, "feed_t_h", "capacity_t_h"),
    result(MachineResult, "thickener.underflow_solids", "underflow, solids by mass"),
    result(MachineResult, "thickener.overflow_m3_h"),
    result(MachineResult, "thickener.water_reused_m3_h"),
)


def thickeners(results: Results) -> Table:
    """One row a thickener."""
    found = [machine for machine in results.machines if machine.thickener]
    return table("Thickeners", _THICKENER, found)
