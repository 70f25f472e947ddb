"""`hoggin balance` and `hoggin issue`: a plant's tables, printed or written as documents."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from hoggin.commands.running import (
    checked_plant,
    folder_of,
    results_of,
    verdict_code,
    write_files,
)
from hoggin.commands.showing import show, terminal_width, verdicts
from hoggin.errors import Exit, HogginError
from hoggin.report import cases as report
from hoggin.report.documents import documents, file_stems
from hoggin.report.results_json import results_json
from hoggin.schema.results import Results


def balance(options: argparse.Namespace) -> int:
    if not options.all_cases:
        results = results_of(options.file, options.case)
        print(show(results, options.show), end="")
        return verdict_code(results)
    if options.case:
        raise HogginError("`--case` and `--all-cases` can't be combined")
    found = _all_cases(options)
    if options.show == "json":
        print(f"[{','.join(map(results_json, found))}]")
    else:
        print("\n".join(show(one, options.show) for one in found), end="")
        if len(found) > 1:
            print(f"\n{report.terminal(report.states(found), terminal_width())}", end="")
    return _verdict(found)


def issue(options: argparse.Namespace) -> int:
    """The documents of the plant as written and of every case, each case in a folder of its own,
    and a combined schedule."""
    found = [results_of(options.file, options.case)] if options.case else _all_cases(options)
    contents = _documents(found[0], options.backends)
    if len(found) > 1:
        names = [one.plant.case for one in found[1:] if one.plant is not None]
        for stem, one in zip(file_stems(names), found[1:], strict=True):
            contents |= _below(f"cases/{stem}", _documents(one, options.backends))
        contents |= _below("cases", report.files(report.states(found)))
    print("".join(map(verdicts, found)), end="")
    write_files(contents, folder_of(options))
    return _verdict(found)


def _all_cases(options: argparse.Namespace) -> list[Results]:
    """The plant as written, then its cases, by name."""
    checked = checked_plant(options.file)
    from hoggin.balancing import balanced

    return [balanced(checked), *(balanced(checked.cases[name]) for name in sorted(checked.cases))]


def _documents(results: Results, backends: Sequence[str]) -> dict[str, bytes]:
    """The documents of one state of the plant, and those of plug-in backends."""
    contents = documents(results)
    if backends:
        from hoggin.plugins import backends as plugins

        contents |= plugins.documents(results, backends)
    return contents


def _below(folder: str, contents: dict[str, bytes]) -> dict[str, bytes]:
    return {f"{folder}/{name}": content for name, content in contents.items()}


def _verdict(found: Sequence[Results]) -> Exit:
    return max(map(verdict_code, found))
