"""What several commands share: exit codes, complaints, a file checked and balanced, writing."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from hoggin.check.checker import Checked
    from hoggin.schema.results import Results

OK, SOURCE_ERRORS, USAGE, UNBALANCED, UNMET, DIFFERENT = range(6)


def complain(text: str) -> None:
    print(f"hoggin: {text}", file=sys.stderr)


def checked_file(path: Path) -> Checked | None:
    """Check a file and print its diagnostics; None where it can't be read."""
    from hoggin.check.checker import UnreadableError, check_file
    from hoggin.diagnostics.render import render_all

    try:
        checked = check_file(path)
    except UnreadableError as fault:
        complain(f"`{path}`: {fault}")
        return None
    print(render_all(checked.diagnostics), end="", file=sys.stderr)
    return checked


def results_of(path: Path) -> Results | int:
    """Check, balance and rate a plant; an exit code where that fails (it has been told why)."""
    checked = checked_file(path)
    if checked is None:
        return USAGE
    if checked.has_errors:
        return SOURCE_ERRORS
    if checked.plant is None:
        complain(f"`{path}` is a library: it holds no plant to balance")
        return USAGE
    from hoggin.commands.balancing import balanced

    results = balanced(checked)
    return UNBALANCED if results is None else results


def write_files(contents: Mapping[str, bytes], folder: Path) -> int:
    """Write files and name them; all of them or none."""
    from hoggin.report.documents import write
    from hoggin.report.errors import EmitError

    try:
        written = write(contents, folder)
    except EmitError as fault:
        complain(str(fault))
        return USAGE
    for path in written:
        print(path)
    return OK


def verdict_code(results: Results) -> int:
    return OK if all(requirement.met for requirement in results.requirements) else UNMET
