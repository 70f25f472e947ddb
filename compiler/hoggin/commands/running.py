"""What several commands share: printing diagnostics, a plant without errors, writing files."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from hoggin.commands.output import paint_of, say, width_of
from hoggin.errors import Exit, HogginError
from hoggin.progress import working

if TYPE_CHECKING:
    from hoggin.api.plant import Plant
    from hoggin.api.result import Result
    from hoggin.diagnostics.diagnostic import Diagnostic


def complain(text: str) -> None:
    say(f"{paint_of(sys.stderr)('bad', 'hoggin:')} {text}", sys.stderr)


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

    width = width_of(sys.stderr) if sys.stderr.isatty() else None
    print(render_all(diagnostics, width, paint_of(sys.stderr)), end="", file=sys.stderr)


def sound(path: Path, case: str = "") -> Plant:
    """A plant from its file, with its warnings printed. Raises UnreadableError, SourceError for its
    errors, and HogginError for a library and for a case that is not there."""
    from hoggin.api.plant import load

    with working("checking"):
        plant = load(path)
        plant.in_case()
        found = plant.check()
    print_diagnostics(found)
    plant.in_case(case)
    return plant


def folder_of(options: argparse.Namespace, *below: str) -> Path:
    """The folder for files: the one asked for, otherwise one under `out` named after the plant and
    its case."""
    if options.into is not None:
        return Path(options.into)
    return default_folder(options, *below)


def default_folder(options: argparse.Namespace, *below: str) -> Path:
    """A folder under `out` named after the plant and its case."""
    from hoggin.report.documents import file_stems

    of_case = ("cases", *file_stems([options.case])) if options.case else ()
    of_plant = options.file.stem
    if not of_plant.strip("."):  # of `...hog`: a folder of such a name is another one
        of_plant = "plant"
    folder = Path("out", of_plant, *of_case, *below)
    if not folder.resolve().is_relative_to(Path.cwd()):
        raise HogginError(f"`{folder}` leads out of this folder by a link; name one with `--into`")
    return folder


def told_apart(form: str) -> TextIO:
    """The stream for what is printed beside a document: a program that reads JSON finds nothing
    else on standard output."""
    return sys.stderr if form == "json" else sys.stdout


def write_files(
    contents: Mapping[str, str | bytes], folder: Path, named_in: TextIO | None = None
) -> None:
    """Write files and name them, on standard output unless a stream is given; all of them or none.
    Raises HogginError."""
    from hoggin.writing import write

    raw = {name: one.encode() if isinstance(one, str) else one for name, one in contents.items()}
    for path in write(raw, folder):
        print(path, file=named_in)


def verdict_code(result: Result) -> Exit:
    return Exit.DONE if result.met else Exit.UNMET


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
