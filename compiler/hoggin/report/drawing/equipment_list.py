"""The machines of a sheet as a list: tag, quantity, what it is, its settings, motor and load."""

from __future__ import annotations

from collections.abc import Sequence

from hoggin.report.fields import quantity, result, table, words
from hoggin.report.tables import Table
from hoggin.report.wording import clean, machine_verdict, setting_of, settings_of
from hoggin.schema.results import MachineResult, Results

TITLE = "Equipment"
NOTE = "Motor: of each machine. Load: feed over capacity."


def equipment_list(results: Results, machines: Sequence[MachineResult]) -> Table:
    """A row for each of these machines; every sheet of the plant has the same columns."""
    fields = (
        words("tag", lambda machine: machine.tag, 20),
        *quantity(results.machines),
        words("description", _description, 40),
        words("settings", _settings, 40),
        result(MachineResult, "feed_t_h", "feed"),
        result(MachineResult, "load", "load"),
        result(MachineResult, "drive.motor_kw", "motor", kind="rate"),
        words("limits", machine_verdict, 16),
    )
    return table(TITLE, fields, machines)


def _description(machine: MachineResult) -> str:
    """What it is, in the words of its class."""
    name = machine.class_name.rpartition(".")[2].replace("_", " ")
    return clean(f"{name} {machine.kind}" if machine.kind not in name else name)


def _settings(machine: MachineResult) -> str:
    decks = (f"{deck.name} {deck.aperture_mm:g} mm" for deck in machine.decks)
    return ", ".join((*filter(None, [setting_of(machine, "duty")]), *settings_of(machine), *decks))
