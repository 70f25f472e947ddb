"""`hoggin report`: the report as HTML and PDF, and the workbook, in one folder."""

from __future__ import annotations

import argparse

from hoggin.commands.arguments import LEAST_WEIGHT
from hoggin.commands.changes import log_of
from hoggin.commands.running import folder_of, results_of, verdict_code, write_files
from hoggin.commands.showing import verdicts
from hoggin.report.package import package as made
from hoggin.report.package.content import Issue
from hoggin.world import named


def report(options: argparse.Namespace) -> int:
    results = results_of(options.file, options.case)
    print(verdicts(results), end="")
    changes = None
    if options.since is not None:
        with named(options.file):
            changes = log_of(str(options.file), options.since, LEAST_WEIGHT, only_tags=False)
    date, client, by = (_readable(text) for text in (options.date, options.client, options.by))
    contents = made.package(results, Issue(date, client, by, changes))
    write_files(contents, folder_of(options, "report"))
    return verdict_code(results)


def _readable(text: str) -> str:
    """Bytes of a command line that are not text arrive as halves of letters; these are replaced."""
    return text.encode(errors="replace").decode()
