"""`hoggin uncertainty`: what the uncertain numbers of a plant do to its results."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from hoggin.commands.arguments import add_seed, at_least
from hoggin.commands.running import write_files
from hoggin.commands.studying import add_options, folder_of, progress_of, run_study, spread_of
from hoggin.errors import Exit

if TYPE_CHECKING:
    from hoggin.studies.uncertainty.document import Uncertainty
    from hoggin.studies.uncertainty.uncertainty import Samples

_FOLDER = "uncertainty"
_FEWEST = 20  # samples: of fewer no P10 and no P90 can be had
MOST_SAMPLES = 10_000_000


def add_uncertainty(parser: argparse.ArgumentParser) -> None:
    """The command's arguments."""
    add_options(parser, _FOLDER)
    parser.add_argument(
        "--samples",
        type=at_least(_FEWEST, MOST_SAMPLES),
        default=1024,
        metavar="N",
        help="(default: 1024)",
    )
    parser.add_argument(
        "--method",
        choices=("latin", "random", "sequence"),
        default="latin",
        help="Latin hypercube, plain Monte Carlo, or Sobol's sequence, which needs scipy and "
        "serves the ranking best, with a power of 2 of samples (default: latin)",
    )
    add_seed(parser, "to draw by")
    parser.add_argument(
        "--no-ranking",
        action="store_true",
        help="leave out what causes the spread: it takes a case more for each number and sample",
    )
    parser.set_defaults(run=uncertainty)


def uncertainty(options: argparse.Namespace) -> int:
    """Run it, print it, write its files."""
    folder = folder_of(options, _FOLDER)
    return run_study(folder, lambda: _uncertainty(options, folder))


def _uncertainty(options: argparse.Namespace, folder: Path) -> Exit:
    from hoggin.commands.balancing import balanced
    from hoggin.commands.showing import shown
    from hoggin.diagnostics.render import render_all
    from hoggin.report.uncertainty import document
    from hoggin.studies.runner.opening import opened
    from hoggin.studies.uncertainty.uncertainty import UncertaintyQuestion, prepared, studied

    question = UncertaintyQuestion(
        samples=options.samples,
        method=options.method,
        seed=options.seed,
        ranked=not options.no_ranking,
        folder=folder,
        resume=options.resume,
    )
    plant = opened(options.file)
    print(render_all(plant.warnings), end="", file=sys.stderr)
    study = prepared(question, plant, balanced(plant.checked))
    with progress_of(study.cases) as progress:
        found, drawn = studied(question, study, spread_of(options), progress)
    print(shown(document(found)), end="")
    write_files(_files(found, drawn), folder)
    return Exit.UNBALANCED if not drawn.settled.any() else Exit.DONE


def _files(found: Uncertainty, drawn: Samples) -> dict[str, str]:
    from hoggin.report import text
    from hoggin.report import uncertainty as told_of
    from hoggin.report.ranking_plot import plot
    from hoggin.report.results_json import found_json

    files = {
        "uncertainty.md": text.markdown(told_of.document(found)),
        "uncertainty.json": found_json(found),
        "spread.csv": text.comma_separated(told_of.spreads(found)),
        "chances.csv": text.comma_separated(told_of.chances(found)),
        "samples.csv": text.comma_separated(told_of.samples(found, drawn)),
    }
    if found.ranked:
        files["causes.csv"] = text.comma_separated(told_of.causes(found))
        files["ranking.svg"] = plot(found, told_of.foremost(found))
    return files
