"""`hoggin balance` and `hoggin issue`: a plant's tables, printed or written as documents."""

from __future__ import annotations

import argparse

from hoggin.commands.running import folder_of, results_of, verdict_code, write_files
from hoggin.commands.showing import show, verdicts
from hoggin.report.documents import documents


def balance(options: argparse.Namespace) -> int:
    results = results_of(options.file)
    print(show(results, options.show), end="")
    return verdict_code(results)


def issue(options: argparse.Namespace) -> int:
    results = results_of(options.file)
    contents = documents(results)
    if options.backends:
        from hoggin.plugins import backends

        contents |= backends.documents(results, options.backends)
    print(verdicts(results), end="")
    write_files(contents, folder_of(options))
    return verdict_code(results)
