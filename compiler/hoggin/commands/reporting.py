"""`hoggin report`: the report as HTML and PDF, and the workbook, in one folder."""

from __future__ import annotations

import argparse

from hoggin.commands.arguments import LEAST_WEIGHT
from hoggin.commands.changes import log_of
from hoggin.commands.running import folder_of, sound, verdict_code, write_files
from hoggin.commands.showing import verdicts
from hoggin.report.cases import AS_WRITTEN
from hoggin.report.package import package as made
from hoggin.report.package.content import Issue
from hoggin.world import named


def report(options: argparse.Namespace) -> int:
    found = sound(options.file, options.case).balance_all()
    result = found[options.case or AS_WRITTEN]
    print(verdicts(result.document), end="")
    changes = None
    if options.since is not None:
        with named(options.file):
            changes = log_of(str(options.file), options.since, LEAST_WEIGHT, only_tags=False)
    date, client, by = (_readable(text) for text in (options.date, options.client, options.by))
    issued = Issue(date, client, by, changes)
    contents = made.package(result.document, issued, found.schedule, result.plausible)
    write_files(contents, folder_of(options, "report"))
    return verdict_code(result)


def _readable(text: str) -> str:
    """Bytes of a command line that are not text arrive as halves of letters; these are replaced."""
    return text.encode(errors="replace").decode()
