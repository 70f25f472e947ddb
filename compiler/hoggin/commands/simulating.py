"""`hoggin simulate`: a shift, a week or a year through the plant's bins and stockpiles."""

from __future__ import annotations

import argparse

from hoggin.commands.running import folder_of, sound, write_files
from hoggin.commands.showing import shown
from hoggin.errors import Exit
from hoggin.progress import working
from hoggin.report import operation as report
from hoggin.report.operation_plot import plot
from hoggin.report.results_json import found_json
from hoggin.report.text import comma_separated, markdown
from hoggin.studies.simulate.document import Operation
from hoggin.studies.simulate.operate import Question, operated


def simulate(options: argparse.Namespace) -> int:
    """Simulate the plant, print the results and write the files."""
    plant = sound(options.file, options.case)
    with working("balancing") as line:
        results = plant.balance(case=options.case).document
        question = Question(
            options.asked, options.runs, options.seed, failures=not options.no_failures
        )
        line.now("simulating")
        found = operated(plant.document(options.case), results, question)
    print(shown(report.document(found)), end="")
    write_files(_files(found), folder_of(options, "operation"))
    return Exit.UNMET if found.overloaded else Exit.DONE


def _files(found: Operation) -> dict[str, str]:
    tables = {"products": report.products, "hours": report.sections_hours, "lost": report.lost}
    if found.stores:
        tables |= {
            "stores": report.stores,
            "levels": report.levels,
            "shown_run": report.shown_run,
        }
    if found.repairs:
        tables["repairs"] = report.repairs
    return {
        "operation.md": markdown(report.document(found)),
        "operation.json": found_json(found),
        "operation.svg": plot(found),
        **{f"{name}.csv": comma_separated(table(found)) for name, table in tables.items()},
    }
