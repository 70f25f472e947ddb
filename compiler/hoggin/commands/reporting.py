"""`hoggin report`: the report as HTML and PDF, and the workbook, in one folder."""

from __future__ import annotations

import argparse

from hoggin.commands.arguments import LEAST_WEIGHT
from hoggin.commands.changes import drawn_since, log_of
from hoggin.commands.running import folder_of, sound, verdict_code, write_files
from hoggin.commands.showing import verdicts
from hoggin.progress import working
from hoggin.report.cases import AS_WRITTEN
from hoggin.report.package import package as made
from hoggin.world import named


def report(options: argparse.Namespace) -> int:
    plant = sound(options.file, options.case)
    with working("balancing"):
        found = plant.balance_all()
    result = found[options.case or AS_WRITTEN]
    print(verdicts(result.document), end="")
    changes = drawn = None
    with working("reading the changes") as line:
        if options.since is not None:
            with named(options.file):
                file = str(options.file)
                changes = log_of(file, options.since, LEAST_WEIGHT, line, only_tags=False)
                line.now("drawing the changes")
            drawn = drawn_since(str(options.file), options.since, result.document)
        line.now("writing the report")
        contents = made.package(result.document, changes, found.schedule, result.plausible, drawn)
    write_files(contents, folder_of(options, "report"))
    return verdict_code(result)
