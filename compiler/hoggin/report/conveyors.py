"""Belt conveyors: a section of the equipment schedule."""

from __future__ import annotations

from hoggin.report.fields import TAG, result, results_of, table
from hoggin.report.tables import Section, Table, where_rows
from hoggin.schema.results import MachineResult, Results

_NOTE = (
    "Cross-section and belt pull after ISO 5048 (1989), from memory: the full section of a level "
    "belt, times the factor for the slope, and C for the secondary resistances. The class states "
    "how much of the section is used. Friction of skirts, cleaners and ploughs, starting, belt "
    "tension and strength, backstop and brake are for the conveyor's designer."
)
_CAUTION = (
    "Conveyors catch and kill: guard every nip point, fit pull cords and start warnings, and lock "
    "out before touching belt or rolls. Local codes and licensed practice govern."
)


def sections(results: Results) -> tuple[Section, ...]:
    """Conveyors with what they rest on; empty for a plant without any."""
    return where_rows("Conveyors", (_NOTE, _CAUTION), belts(results))


_BELT = (
    TAG,
    result(MachineResult, "belt.width_mm"),
    result(MachineResult, "belt.length_m"),
    result(MachineResult, "belt.lift_m"),
    result(MachineResult, "belt.slope_deg"),
    result(MachineResult, "belt.travel_speed_m_s", "speed"),
    result(MachineResult, "belt.section_m2"),
    *results_of(MachineResult, "belt.slope_factor", "capacity_t_h", "load"),
    result(MachineResult, "belt.rock_kg_m", "rock on it"),
    result(MachineResult, "belt.secondary_coefficient", "C"),
    result(MachineResult, "belt.pull_n"),
    result(MachineResult, "power_kw", "drawn"),
    result(MachineResult, "drive.motor_kw", "motor", kind="stated"),
)


def belts(results: Results) -> Table:
    """One row a conveyor."""
    return table("Conveyors", _BELT, [machine for machine in results.machines if machine.belt])
