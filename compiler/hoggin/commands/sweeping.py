"""`hoggin sweep`: one setting over a range, or two as a grid."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from hoggin.commands.running import write_files
from hoggin.commands.studying import add_options, folder_of, progress_of, run_study, spread_of
from hoggin.errors import Exit

if TYPE_CHECKING:
    from hoggin.studies.sweep.document import Sweep

_FOLDER = "sweep"


def add_sweep(parser: argparse.ArgumentParser) -> None:
    """The command's arguments."""
    add_options(parser, _FOLDER)
    parser.add_argument(
        "--over",
        action="append",
        required=True,
        metavar="SETTING",
        help="as `secondary.css 34 mm to 50 mm in 17` or `sorting.top 45 mm, 50 mm`; twice for "
        "a grid",
    )
    parser.add_argument(
        "--read",
        action="append",
        default=[],
        metavar="RESULT",
        help="as `require` has it: chips.rate; may repeat (default: products and what is required)",
    )
    parser.set_defaults(run=sweep)


def sweep(options: argparse.Namespace) -> int:
    """Run it, print it, write its files."""
    folder = folder_of(options, _FOLDER)
    return run_study(folder, lambda: _sweep(options, folder))


def _sweep(options: argparse.Namespace, folder: Path) -> Exit:
    from hoggin.commands.showing import shown
    from hoggin.diagnostics.render import render_all
    from hoggin.report.sweep import document
    from hoggin.studies.sweep.sweep import SweepQuestion, prepared, swept

    question = SweepQuestion(
        options.file, tuple(options.over), tuple(options.read), folder, options.resume
    )
    ready = prepared(question)
    print(render_all(ready.opened.warnings), end="", file=sys.stderr)
    with progress_of(ready.cases) as progress:
        found = swept(question, ready, spread_of(options), progress)
    print(shown(document(found)), end="")
    write_files(_files(found), folder)
    return Exit.UNBALANCED if all(found.refused) else Exit.DONE


def _files(found: Sweep) -> dict[str, str]:
    from hoggin.report import text
    from hoggin.report.contour_plot import plots
    from hoggin.report.sweep import document, table
    from hoggin.report.sweep_plot import plot

    files = {
        "sweep.csv": text.comma_separated(table(found)),
        "sweep.md": text.markdown(document(found)),
    }
    if len(found.settings) == 1:
        files["sweep.svg"] = plot(found)
    else:
        files |= {f"contours/{name}": content for name, content in plots(found).items()}
    return files
