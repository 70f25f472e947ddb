"""`hoggin check`: plant or library files, each with its errors and warnings."""

from __future__ import annotations

import argparse
from itertools import chain
from pathlib import Path

from hoggin.api.plant import load
from hoggin.check.checker import Checked
from hoggin.commands.output import say
from hoggin.commands.running import print_diagnostics, told
from hoggin.errors import Exit, HogginError
from hoggin.progress import working
from hoggin.world import sources_below


def check(options: argparse.Namespace) -> Exit:
    """Check files, and every `.hog` file in folders."""
    worst = Exit.DONE
    for path in chain.from_iterable(map(_sources, options.files)):
        try:
            with working("checking"):
                plant = load(path)
                found = plant.check()
            print_diagnostics(found)
        except HogginError as fault:
            worst = max(worst, told(fault))
            continue
        if plant.checked.has_errors:
            worst = max(worst, Exit.SOURCE)
        else:
            say(f"{path}: {_summary(plant.checked)}")
    return worst


def _sources(path: Path) -> list[Path]:
    """A file itself, or the files of a folder. Raises HogginError where it has none."""
    if not path.is_dir():
        return [path]
    found = sources_below(path)
    if not found:
        raise HogginError(f"there is no `.hog` file in `{path}`")
    return found


def _summary(checked: Checked) -> str:
    plant = checked.plant
    if plant is None:
        return "library, no errors"
    counts = (len(plant.machines), "machine"), (len(plant.products), "product")
    counted = ", ".join(f"{count} {word}{'' if count == 1 else 's'}" for count, word in counts)
    return f"{plant.title}: {counted}, no errors"
