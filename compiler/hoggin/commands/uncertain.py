"""`hoggin uncertainty`: shows how uncertain numbers spread a plant's results."""

from __future__ import annotations

import argparse
from functools import partial

from hoggin.commands.running import folder_of, sound
from hoggin.commands.showing import shown
from hoggin.commands.studying import run_study, study_in, write_study
from hoggin.errors import Exit
from hoggin.report import uncertainty as report
from hoggin.report.ranking_plot import plot
from hoggin.report.results_json import found_json
from hoggin.report.text import comma_separated, markdown
from hoggin.studies.runner.opening import opened
from hoggin.studies.uncertainty.document import Uncertainty
from hoggin.studies.uncertainty.uncertainty import Samples, UncertaintyQuestion, prepared, studied


def uncertainty(options: argparse.Namespace) -> int:
    """Run the study, print it and write its files."""
    folder = folder_of(options, "uncertainty")
    with study_in(folder):
        question = UncertaintyQuestion(
            samples=options.samples,
            method=options.method,
            seed=options.seed,
            ranked=not options.no_ranking,
            folder=folder,
        )
        plant = sound(options.file, options.case)
        start = plant.balance(case=options.case).document
        study = prepared(question, opened(plant.checked, options.case), start)
        found, drawn = run_study(
            partial(studied, question, study),
            study.cases,
            options,
            folder,
            lambda part: _files(*part),
        )
        print(shown(report.document(found)), end="")
        write_study(_files(found, drawn), folder)
        if not drawn.settled.any():
            return Exit.UNBALANCED
        is_missed = options.expect_met and not all(drawn.all_met)
        return Exit.UNMET if is_missed else Exit.DONE


def _files(found: Uncertainty, drawn: Samples) -> dict[str, str | bytes]:
    files: dict[str, str | bytes] = {
        "uncertainty.md": markdown(report.document(found)),
        "uncertainty.json": found_json(found),
        "spread.csv": comma_separated(report.spreads(found)),
        "chances.csv": comma_separated(report.chances(found)),
        "samples.csv": comma_separated(report.samples(found, drawn)),
    }
    if found.ranked:
        files["causes.csv"] = comma_separated(report.causes(found))
        files["ranking.svg"] = plot(found, report.foremost(found))
    return files
