"""Belt conveyors: a section of the equipment schedule."""

from __future__ import annotations

from hoggin.report.tables import Column, Section, Table
from hoggin.schema.results import Results

_NOTE = (
    "Section and pull after ISO 5048 (1989), from memory: the section full and level, the slope's "
    "factor on it, and C for the resistances beside those along the length; the class says how "
    "much of the section is used. Friction of skirts, cleaners and ploughs, starting, belt tension "
    "and strength, backstop and brake are left to the conveyor's designer."
)
_CAUTION = (
    "Conveyors catch and kill: guard every nip point, fit pull cords and start warnings, and lock "
    "out before touching belt or rolls. Local codes and licensed practice govern."
)


def sections(results: Results) -> tuple[Section, ...]:
    """Conveyors with what they rest on; empty for a plant without any."""
    table = belts(results)
    return (Section("Conveyors", (_NOTE, _CAUTION), table),) if table.rows else ()


def belts(results: Results) -> Table:
    """One row a conveyor."""
    columns = (
        Column("tag", width=20),
        Column("width", "mm", "count"),
        Column("length", "m", "rate"),
        Column("lift", "m", "rate"),
        Column("slope", "deg", "rate"),
        Column("speed", "m/s", "number"),
        Column("section", "m2", "size"),
        Column("slope factor", kind="number"),
        Column("capacity", "t/h", "rate"),
        Column("load", "%", "percent"),
        Column("rock on it", "kg/m", "rate"),
        Column("C", kind="number"),
        Column("pull", "N", "count"),
        Column("drawn", "kW", "rate"),
        Column("next motor", "kW", "size"),
    )
    rows = tuple(
        (
            machine.tag,
            belt.width_mm,
            belt.length_m,
            belt.lift_m,
            belt.slope_deg,
            belt.travel_speed_m_s,
            belt.section_m2,
            belt.slope_factor,
            machine.capacity_t_h,
            machine.load,
            belt.rock_kg_m,
            belt.secondary_coefficient,
            belt.pull_n,
            machine.power_kw,
            machine.drive.motor_kw if machine.drive else None,
        )
        for machine in results.machines
        if (belt := machine.belt)
    )
    return Table("Conveyors", columns, rows)
