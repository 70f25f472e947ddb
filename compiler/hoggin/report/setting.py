"""How the cones are set, from the liners' touching, and the liners they need: a section of the
equipment schedule."""

from __future__ import annotations

from hoggin.report.tables import Column, Section, Table, Value
from hoggin.schema.results import MachineResult, Results, SettingPosition

_NOTE = (
    "From touching: the liners just meet, the chamber empty. Travel is along the axis; css is "
    "travel x sin(angle of the chamber from the vertical). Angle, thread and teeth are the "
    "class's: read them off the machine, and prove the css with a soft slug at several places, as "
    "liners wear unevenly."
)


def sections(results: Results) -> tuple[Section, ...]:
    """One section, or none where no machine's setting is counted from touching."""
    table = settings(results)
    return (Section("Crusher settings", (_NOTE,), table),) if table.rows else ()


def settings(results: Results) -> Table:
    """One row a machine whose setting is counted from touching."""
    columns = (
        Column("tag", width=20),
        Column("css", "mm", "size"),
        Column("moved", width=12),
        Column("travel from touching", "mm", "size"),
        Column("turns", kind="number"),
        Column("to the nearest tooth", width=24),
        Column("css a tooth", "mm", "number"),
        Column("liners to fit", width=40),
    )
    rows = tuple(
        _row(machine, machine.setting)
        for machine in results.machines
        if machine.setting is not None
    )
    return Table("Crusher settings", columns, rows)


def _row(machine: MachineResult, found: SettingPosition) -> tuple[Value, ...]:
    return (
        machine.tag,
        found.css_mm,
        _words(found.moves),
        found.travel_mm,
        found.turns,
        _counted(found),
        found.css_a_tooth_mm,
        _words(found.liner_set),
    )


def _counted(found: SettingPosition) -> str | None:
    """`3 turns and 45 of 72 teeth`; None where there is no thread."""
    if found.whole_turns is None or found.teeth is None:
        return None
    turns = "1 turn" if found.whole_turns == 1 else f"{found.whole_turns} turns"
    return f"{turns} and {found.teeth} of {found.teeth_a_turn} teeth"


def _words(trait: str) -> str | None:
    return trait.replace("_", " ") or None
