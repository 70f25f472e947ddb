"""`hoggin sweep`: varies one setting, two as a grid, or many by the rows of a table."""

from __future__ import annotations

import argparse
from functools import partial
from pathlib import Path

from hoggin.api.plant import Plant
from hoggin.commands.running import folder_of, sound
from hoggin.commands.showing import shown
from hoggin.commands.studying import run_study, study_in, write_study
from hoggin.errors import Exit, HogginError
from hoggin.report import paired as paired_report
from hoggin.report.contour_plot import plots
from hoggin.report.results_json import found_json
from hoggin.report.sweep import document, table
from hoggin.report.sweep_plot import plot
from hoggin.report.tables import Document, Section, Table
from hoggin.report.text import comma_separated, markdown
from hoggin.report.workbook import workbook
from hoggin.studies.paired.document import Paired
from hoggin.studies.paired.paired import PairedQuestion, studied
from hoggin.studies.paired.paired import prepared as prepared_rows
from hoggin.studies.sweep.document import Sweep
from hoggin.studies.sweep.sweep import SweepQuestion, prepared, swept

_MOST_XLSX = 100_000  # cases: a spreadsheet opens no more with ease


def sweep(options: argparse.Namespace) -> int:
    """Run the sweep, print it and write its files."""
    if bool(options.over) == (options.rows is not None):
        raise HogginError(
            "give what to vary: `--over SETTING` for all combinations of values, or `--rows FILE` "
            "for cases row by row"
        )
    folder = folder_of(options, "sweep")
    with study_in(folder):
        plant = sound(options.file, options.case)
        run = _over if options.over else _rows
        return run(plant, folder, options)


def _over(plant: Plant, folder: Path, options: argparse.Namespace) -> Exit:
    asked = (tuple(options.over), tuple(options.result))
    question = SweepQuestion(plant.world, plant.checked, *asked, folder, case=options.case)
    ready = prepared(question)
    found = run_study(
        partial(swept, question, ready),
        ready.cases,
        options,
        folder,
        lambda part: _tables(document(part), table(part), part),
    )
    print(shown(document(found)), end="")
    write_study(_tables(document(found), table(found), found) | _plots(found), folder)
    return _verdict(found, options)


def _rows(plant: Plant, folder: Path, options: argparse.Namespace) -> Exit:
    asked = (tuple(options.result), options.case, folder)
    question = PairedQuestion(plant.world, plant.checked, *asked)
    ready = prepared_rows(question, options.rows)

    def tables(found: Paired) -> dict[str, str | bytes]:
        return _tables(paired_report.document(found), paired_report.table(found), found)

    found = run_study(
        partial(studied, question, ready),
        ready.rows,
        options,
        folder,
        tables,
    )
    print(shown(paired_report.document(found)), end="")
    write_study(tables(found), folder)
    return _verdict(found, options)


def _verdict(found: Sweep | Paired, options: argparse.Namespace) -> Exit:
    """A sweep is a question: what it finds is no fault, unless that was expected."""
    if all(found.refused):
        return Exit.UNBALANCED
    return Exit.UNMET if options.expect_met and not all(found.all_met) else Exit.DONE


def _tables(told: Document, every: Table, found: Sweep | Paired) -> dict[str, str | bytes]:
    files: dict[str, str | bytes] = {
        "sweep.csv": comma_separated(every),
        "sweep.json": found_json(found),
        "sweep.md": markdown(told),
    }
    if len(every.rows) <= _MOST_XLSX:
        words = (Section(one.heading, one.notes, points=one.points) for one in told.sections)
        sheets = Document(told.title, told.subtitle, (Section(every.title, table=every), *words))
        files["sweep.xlsx"] = workbook(sheets)
    return files


def _plots(found: Sweep) -> dict[str, str | bytes]:
    if len(found.settings) == 1:
        return {"sweep.svg": plot(found)}
    return {f"contours/{name}": content for name, content in plots(found).items()}
