"""`hoggin design`: finds settings for a plant's aims and writes them as a revision."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from hoggin.api.plant import load
from hoggin.commands.running import (
    default_folder,
    print_diagnostics,
    refuse_to_replace,
    told_apart,
    write_files,
)
from hoggin.commands.showing import printed
from hoggin.commands.studying import partial_in, remove_partial, spread_of, study_in
from hoggin.errors import Exit, HogginError
from hoggin.progress import CLEAR, watched
from hoggin.report import text
from hoggin.report.design import document, front_table, tried_table
from hoggin.report.front_plot import plot
from hoggin.report.results_json import found_json
from hoggin.studies.design.design import DesignQuestion, Found, PreparedDesign, prepared
from hoggin.studies.design.search import Effort

_CASES = "cases.csv"  # that were balanced, of an interrupted search


def design(options: argparse.Namespace) -> int:
    """Find the settings, print them and write the revision."""
    folder = default_folder(options, "design")
    with study_in(folder):
        plant = load(options.file)
        places = _places(options)
        effort = Effort(starts=options.starts, seed=options.seed)
        question = DesignQuestion(effort, options.point, options.case, folder, options.resume)
        with _counted() as count:
            search = prepared(plant.world, plant.source, question, spread_of(options), count)
            with partial_in(folder, lambda: _so_far(search)):
                found = search.designed()
        remove_partial([_CASES], folder)
        print_diagnostics(found.warnings)
        print(printed(found.design, options.form, document, found_json), end="")
        if found.text is None:
            return Exit.UNMET
        if options.into is not None:
            contents = _contents(found, options.into)
            written = [place for place in places if place.name in contents]
            refuse_to_replace(written, overwrite=options.overwrite)
            write_files(contents, options.into.parent, named_in=told_apart(options.form))
        return Exit.DONE


def _so_far(search: PreparedDesign) -> dict[str, str | bytes]:
    aims = tuple(f"{aim.text} ({aim.unit})" if aim.unit else aim.text for aim in search.aims)
    return {_CASES: text.comma_separated(tried_table(search.so_far(), aims))}


@contextmanager
def _counted() -> Iterator[Callable[[int], None]]:
    """Shows on a terminal how many cases have been balanced. The total is not known before a search
    has ended."""
    shown = watched()
    total = 0

    def count(cases: int) -> None:
        nonlocal total
        total += cases
        if shown:
            print(f"{CLEAR}{total:,} cases balanced", end="", file=sys.stderr, flush=True)

    try:
        yield count
    finally:
        if shown:
            print(CLEAR, end="", file=sys.stderr, flush=True)


def _places(options: argparse.Namespace) -> list[Path]:
    """The paths of the files. Raises HogginError, before the search, if one can't be written."""
    into: Path | None = options.into
    if into is None:
        return []
    if into.suffix != ".hog":
        raise HogginError(f"`{into}`: a plant's file name ends in `.hog`")
    refuse_to_replace([into], overwrite=options.overwrite)
    return [into, *(into.with_name(f"{into.stem}_front{end}") for end in (".csv", ".svg"))]


def _contents(found: Found, into: Path) -> dict[str, str]:
    assert found.text is not None
    contents = {into.name: found.text}
    if found.design.frontier:
        contents[f"{into.stem}_front.csv"] = text.comma_separated(front_table(found.design))
        contents[f"{into.stem}_front.svg"] = plot(found.design)
    return contents
