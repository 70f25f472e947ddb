"""The machines of a sheet as a list: tag, quantity, what it is, its settings, motor and load."""

from __future__ import annotations

from collections.abc import Sequence

from hoggin.report.fields import TAG, quantity, result, supply, table, words
from hoggin.report.tables import Table
from hoggin.report.wording import (
    all_checks,
    clean,
    machine_verdict,
    setting_of,
    settings_of,
    verdict_word,
)
from hoggin.schema.results import MachineResult, Results

TITLE = "Equipment"
POINTS = ("splitter", "blend")
NOTE = "Motor: of each machine. Load: feed over capacity."


def equipment_list(results: Results, machines: Sequence[MachineResult]) -> Table:
    """A row for each of these machines; every sheet of the plant has the same columns."""
    fields = (
        TAG,
        *quantity(results.machines),
        words("description", description, 40),
        *supply(results.machines),
        words("settings", _settings, 40),
        result(MachineResult, "feed_t_h", "feed"),
        result(MachineResult, "load", "load"),
        result(MachineResult, "drive.motor_kw", "motor", kind="stated"),
        words("limits", _limits, 40),
    )
    return table(TITLE, fields, machines)


def equipment_of(machines: Sequence[MachineResult]) -> tuple[MachineResult, ...]:
    """The machines that are built or bought: not the points where streams meet or part."""
    return tuple(machine for machine in machines if machine.kind not in POINTS)


def description(machine: MachineResult) -> str:
    """Its title, else what it is in the words of its class."""
    name = machine.class_name.rpartition(".")[2].replace("_", " ")
    return clean(machine.title or (name if machine.kind in name else f"{name} {machine.kind}"))


def _limits(machine: MachineResult) -> str:
    """The gravest verdict, and what it is about where that asks for attention."""
    word = machine_verdict(machine)
    found = (check for _, check in all_checks(machine) if verdict_word(check) in word)
    about = next((check.text for check in found if check.verdict != "ok"), "")
    return f"{word}: {about}" if about else word


def _settings(machine: MachineResult) -> str:
    decks = (f"{deck.name} {deck.aperture_mm:g} mm" for deck in machine.decks)
    return ", ".join((*filter(None, [setting_of(machine, "duty")]), *settings_of(machine), *decks))
