"""`hoggin check`: plant or library files, each with its errors and warnings."""

from __future__ import annotations

import argparse

from hoggin.check.checker import Checked
from hoggin.commands.running import checked_file, print_diagnostics, told
from hoggin.errors import Exit, HogginError


def check(options: argparse.Namespace) -> int:
    worst = Exit.DONE
    for path in options.files:
        try:
            checked = checked_file(path)
        except HogginError as fault:
            worst = max(worst, told(fault))
            continue
        print_diagnostics(checked.diagnostics)
        if checked.has_errors:
            worst = max(worst, Exit.SOURCE)
        else:
            print(f"{path}: {_summary(checked)}")
    return worst


def _summary(checked: Checked) -> str:
    plant = checked.plant
    if plant is None:
        return "library, no errors"
    counts = (len(plant.machines), "machine"), (len(plant.products), "product")
    counted = ", ".join(f"{count} {word}{'' if count == 1 else 's'}" for count, word in counts)
    return f"{plant.title}: {counted}, no errors"
