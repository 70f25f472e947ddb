"""`hoggin sweep`: varies one setting, two as a grid, or many by the rows of a table."""

from __future__ import annotations

import argparse
from pathlib import Path

from hoggin.api.plant import Plant
from hoggin.commands.running import folder_of, sound, write_files
from hoggin.commands.showing import shown
from hoggin.commands.studying import progress_of, spread_of, study_in
from hoggin.errors import Exit, HogginError
from hoggin.report import paired as paired_report
from hoggin.report import text
from hoggin.report.contour_plot import plots
from hoggin.report.sweep import document, table
from hoggin.report.sweep_plot import plot
from hoggin.studies.paired.paired import PairedQuestion, studied
from hoggin.studies.paired.paired import prepared as prepared_rows
from hoggin.studies.sweep.document import Sweep
from hoggin.studies.sweep.sweep import SweepQuestion, prepared, swept


def sweep(options: argparse.Namespace) -> int:
    """Run the sweep, print it and write its files."""
    if bool(options.over) == (options.rows is not None):
        raise HogginError("give what to vary: `--over SETTING`, or `--rows FILE.csv`")
    folder = folder_of(options, "sweep")
    with study_in(folder):
        plant = sound(options.file, options.case)
        run = _over if options.over else _rows
        return run(plant, folder, options)


def _over(plant: Plant, folder: Path, options: argparse.Namespace) -> Exit:
    asked = (tuple(options.over), tuple(options.result))
    question = SweepQuestion(
        plant.world, plant.checked, *asked, folder, options.resume, options.case
    )
    ready = prepared(question)
    with progress_of(ready.cases) as progress:
        found = swept(question, ready, spread_of(options), progress)
    print(shown(document(found)), end="")
    write_files(_files(found), folder)
    return Exit.UNBALANCED if all(found.refused) else Exit.DONE


def _rows(plant: Plant, folder: Path, options: argparse.Namespace) -> Exit:
    if options.resume:
        raise HogginError("a table of rows keeps nothing to resume: leave out `--resume`")
    question = PairedQuestion(plant.world, plant.checked, tuple(options.result), options.case)
    ready = prepared_rows(question, options.rows)
    with progress_of(ready.rows) as progress:
        found = studied(ready, spread_of(options), progress)
    print(shown(paired_report.document(found)), end="")
    files = {
        "sweep.csv": text.comma_separated(paired_report.table(found)),
        "sweep.md": text.markdown(paired_report.document(found)),
    }
    write_files(files, folder)
    return Exit.UNBALANCED if all(found.refused) else Exit.DONE


def _files(found: Sweep) -> dict[str, str]:
    files = {
        "sweep.csv": text.comma_separated(table(found)),
        "sweep.md": text.markdown(document(found)),
    }
    if len(found.settings) == 1:
        return files | {"sweep.svg": plot(found)}
    return files | {f"contours/{name}": content for name, content in plots(found).items()}
