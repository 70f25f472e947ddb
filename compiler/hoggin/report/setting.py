"""How the cones are set, from the liners' touching, and the liners they need: a section of the
equipment schedule."""

from __future__ import annotations

from hoggin.report.fields import TAG, number, result, table, words
from hoggin.report.tables import Section, Table, where_rows
from hoggin.schema.results import MachineResult, Results, SettingPosition

_NOTE = (
    "From touching: counted from where the liners just touch, with the chamber empty. Travel is "
    "along the axis; css is travel x sin(angle of the chamber from the vertical). Angle, thread "
    "and teeth are those of the class: check them on the machine. Verify the css with a soft slug "
    "at several places, because liners wear unevenly."
)


def sections(results: Results) -> tuple[Section, ...]:
    """One section, or none where no machine's setting is counted from touching."""
    return where_rows("Crusher settings", (_NOTE,), settings(results))


_SET = (
    TAG,
    number("css", "mm", "stated", lambda machine: machine.setting.css_mm),
    words("moved", lambda machine: _words(machine.setting.moves), 12),
    result(MachineResult, "setting.travel_mm", "travel from touching"),
    result(MachineResult, "setting.turns"),
    words("to the nearest tooth", lambda machine: _counted(machine.setting), 24),
    result(MachineResult, "setting.css_a_tooth_mm"),
    words("liners to fit", lambda machine: _words(machine.setting.liner_set), 40),
)


def settings(results: Results) -> Table:
    """One row a machine whose setting is counted from touching."""
    return table("Crusher settings", _SET, [m for m in results.machines if m.setting])


def _counted(found: SettingPosition) -> str | None:
    """`3 turns and 45 of 72 teeth`; None where there is no thread."""
    if found.whole_turns is None or found.teeth is None:
        return None
    turns = "1 turn" if found.whole_turns == 1 else f"{found.whole_turns} turns"
    return f"{turns} and {found.teeth} of {found.teeth_a_turn} teeth"


def _words(trait: str) -> str | None:
    return trait.replace("_", " ") or None
