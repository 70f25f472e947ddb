"""What several commands share: printing diagnostics, checking and balancing, writing files."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from hoggin.errors import Exit, HogginError, SourceError

if TYPE_CHECKING:
    from hoggin.check.checker import Checked
    from hoggin.diagnostics.diagnostic import Diagnostic
    from hoggin.schema.results import Results


def complain(text: str) -> None:
    print(f"hoggin: {text}", file=sys.stderr)


def told(fault: HogginError) -> Exit:
    """Print what is wrong and return the exit code."""
    if fault.diagnostics:
        print_diagnostics(fault.diagnostics)
    else:
        for sentence in str(fault).splitlines():
            complain(sentence.strip())
    return fault.exit_code


def print_diagnostics(diagnostics: Iterable[Diagnostic]) -> None:
    from hoggin.diagnostics.render import render_all

    print(render_all(diagnostics), end="", file=sys.stderr)


def checked_file(path: Path) -> Checked:
    """Check a file. Raises UnreadableError."""
    from hoggin.check.checker import check_file
    from hoggin.world import named

    with named(path):
        return check_file(path)


def checked_plant(path: Path, purpose: str = "balance", case: str = "") -> Checked:
    """Check a plant and print its warnings; of the plant in a case, if one is named.

    Raises UnreadableError, SourceError, and HogginError for a library or a case it does not have.
    """
    checked = checked_file(path)
    if checked.has_errors:
        raise SourceError(checked.diagnostics)
    print_diagnostics(checked.diagnostics)
    if checked.plant is None:
        raise HogginError(f"`{path}` is a library and has no plant to {purpose}")
    return checked.in_case(case)


def results_of(path: Path, case: str = "") -> Results:
    """Check, balance and rate a plant. Raises HogginError if that fails."""
    checked = checked_plant(path, case=case)
    from hoggin.balancing import balanced

    return balanced(checked)


def folder_of(options: argparse.Namespace, *below: str) -> Path:
    """The folder for files: the one asked for, otherwise one under `out` named after the plant and
    its case."""
    from hoggin.report.documents import file_stems

    of_case = ("cases", *file_stems([options.case])) if options.case else ()
    return options.into or Path("out", options.file.stem, *of_case, *below)


def write_files(contents: Mapping[str, str | bytes], folder: Path) -> None:
    """Write files and name them; all of them or none. Raises HogginError."""
    from hoggin.report.documents import write

    raw = {name: one.encode() if isinstance(one, str) else one for name, one in contents.items()}
    for path in write(raw, folder):
        print(path)


def verdict_code(results: Results) -> Exit:
    met = all(requirement.met for requirement in results.requirements)
    return Exit.DONE if met else Exit.UNMET


def check_library_places(places: Sequence[Path], source: Path, what: str, overwrite: bool) -> None:
    """Raises HogginError if files can't be written; the first is a library. Existing files are
    overwritten only on request, and never `source`, which messages call `what`."""
    library = places[0]
    if library.suffix != ".hog":
        raise HogginError(f"`{library}`: a library file's name ends in `.hog`")
    try:
        there = [place for place in places if place.exists() or place.is_symlink()]
        same = source.exists() and any(place.samefile(source) for place in there)
    except (OSError, ValueError) as fault:
        raise HogginError(f"`{library}`: the path can't be followed") from fault
    if same:
        raise HogginError(f"`{library}` would overwrite the {what}")
    refuse_to_replace(there, overwrite=overwrite)


def refuse_to_replace(places: Sequence[Path], *, overwrite: bool) -> None:
    """Raises HogginError for the first file that exists, unless it may be overwritten."""
    there = [place for place in places if place.exists() or place.is_symlink()]
    if there and not overwrite:
        raise HogginError(f"`{there[0]}` already exists; --overwrite replaces it")


def refusal(path: Path, text: str) -> str | None:
    """Why the compiler refuses the text of a library that is about to be written."""
    from hoggin.check.checker import check
    from hoggin.diagnostics.source import Source
    from hoggin.world import World

    checked = check(World(path), Source(path.name, text))
    return next((found.message for found in checked.diagnostics if found.is_error), None)
