"""`hoggin sweep`: varies one setting over a range, or two as a grid."""

from __future__ import annotations

import argparse

from hoggin.commands.running import folder_of, print_diagnostics, write_files
from hoggin.commands.showing import shown
from hoggin.commands.studying import progress_of, spread_of, study_in
from hoggin.errors import Exit
from hoggin.report import text
from hoggin.report.contour_plot import plots
from hoggin.report.sweep import document, table
from hoggin.report.sweep_plot import plot
from hoggin.studies.sweep.document import Sweep
from hoggin.studies.sweep.sweep import SweepQuestion, prepared, swept


def sweep(options: argparse.Namespace) -> int:
    """Run the sweep, print it and write its files."""
    folder = folder_of(options, "sweep")
    with study_in(folder):
        asked = (options.file, tuple(options.over), tuple(options.result))
        question = SweepQuestion(*asked, folder, options.resume, options.case)
        ready = prepared(question)
        print_diagnostics(ready.opened.warnings)
        with progress_of(ready.cases) as progress:
            found = swept(question, ready, spread_of(options), progress)
        print(shown(document(found)), end="")
        write_files(_files(found), folder)
        return Exit.UNBALANCED if all(found.refused) else Exit.DONE


def _files(found: Sweep) -> dict[str, str]:
    files = {
        "sweep.csv": text.comma_separated(table(found)),
        "sweep.md": text.markdown(document(found)),
    }
    if len(found.settings) == 1:
        return files | {"sweep.svg": plot(found)}
    return files | {f"contours/{name}": content for name, content in plots(found).items()}
