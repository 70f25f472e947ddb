"""`hoggin operate`: a shift, a week or a year through the plant's bins and stockpiles."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from hoggin.commands.arguments import add_seed, at_least
from hoggin.commands.running import checked_plant, write_files
from hoggin.commands.studying import add_place, folder_of
from hoggin.errors import Exit

if TYPE_CHECKING:
    from hoggin.studies.simulate.document import Operation

_FOLDER = "operation"
_MOST_RUNS = 5000


def add_operate(parser: argparse.ArgumentParser) -> None:
    """The command's arguments."""
    add_place(parser, _FOLDER)
    parser.add_argument(
        "--for",
        dest="asked",
        default="1 week",
        metavar="TIME",
        help="`8 h`, `2 shifts`, `1 day`, `1 week` or `1 year` (default: 1 week)",
    )
    parser.add_argument(
        "--runs",
        type=at_least(1, _MOST_RUNS),
        default=200,
        metavar="N",
        help="how often (default: 200)",
    )
    add_seed(parser, "to draw failures by")
    parser.add_argument(
        "--without-failures",
        action="store_true",
        help="one run; availabilities take each section's pace down instead",
    )
    parser.set_defaults(run=operate)


def operate(options: argparse.Namespace) -> int:
    """Run the plant, print what came of it, write its files."""
    from hoggin.commands.balancing import balanced
    from hoggin.commands.showing import shown
    from hoggin.report.operation import document
    from hoggin.studies.simulate.operate import Question, operated

    checked = checked_plant(options.file, "run")
    assert checked.plant is not None
    question = Question(
        asked=options.asked,
        runs=options.runs,
        seed=options.seed,
        failures=not options.without_failures,
    )
    found = operated(checked.plant, balanced(checked), question)
    print(shown(document(found)), end="")
    write_files(_files(found), folder_of(options, _FOLDER))
    return Exit.DONE


def _files(found: Operation) -> dict[str, str]:
    from hoggin.report import operation as told_of
    from hoggin.report import text
    from hoggin.report.operation_plot import plot
    from hoggin.report.results_json import found_json

    files = {
        "operation.md": text.markdown(told_of.document(found)),
        "operation.json": found_json(found),
        "operation.svg": plot(found),
        "products.csv": text.comma_separated(told_of.products(found)),
        "hours.csv": text.comma_separated(told_of.sections_hours(found)),
        "lost.csv": text.comma_separated(told_of.lost(found)),
    }
    if found.stores:
        files["stores.csv"] = text.comma_separated(told_of.stores(found))
        files["levels.csv"] = text.comma_separated(told_of.levels(found))
        files["shown_run.csv"] = text.comma_separated(told_of.shown_run(found))
    if found.repairs:
        files["repairs.csv"] = text.comma_separated(told_of.repairs(found))
    return files
