"""`hoggin design`: settings found for a plant's aims, written as a revision."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from hoggin.commands.arguments import add_form, add_seed, add_workers, at_least
from hoggin.commands.running import write_files
from hoggin.commands.studying import run_study, spread_of
from hoggin.errors import Exit, HogginError
from hoggin.progress import CLEAR, watched

if TYPE_CHECKING:
    from hoggin.studies.design.design import Found
    from hoggin.studies.design.document import Design


def add_design(parser: argparse.ArgumentParser) -> None:
    """The command's arguments."""
    parser.add_argument("file", type=Path, metavar="FILE.hog")
    parser.add_argument(
        "--into",
        type=Path,
        metavar="NEW.hog",
        help="write the revision; of several aims, the front beside it as NEW_front.csv and .svg",
    )
    parser.add_argument("--overwrite", action="store_true", help="replace files that are there")
    parser.add_argument(
        "--point",
        type=at_least(1),
        metavar="N",
        help="of several aims: the point of the front to write (default: as the weights have it)",
    )
    parser.add_argument(
        "--starts",
        type=at_least(8),
        default=64,
        metavar="N",
        help="starts scattered over each alternative (default: 64)",
    )
    add_seed(parser, "to scatter them by")
    add_workers(parser, "processes for batches that are large")
    add_form(parser)
    parser.set_defaults(run=design)


def design(options: argparse.Namespace) -> int:
    """Find it, print it, write it."""
    return run_study(options.file.parent, lambda: _design(options))


def _design(options: argparse.Namespace) -> Exit:
    from hoggin.diagnostics.render import render_all
    from hoggin.studies.design.design import DesignQuestion, designed
    from hoggin.studies.design.search import Effort
    from hoggin.world import World, named

    with named(options.file):
        world = World(options.file)
        source = world.open_main()
    places = _places(options)
    effort = Effort(starts=options.starts, seed=options.seed)
    question = DesignQuestion(effort, options.point)
    with _counted() as count:
        found = designed(world, source, question, spread_of(options), count)
    print(render_all(found.warnings), end="", file=sys.stderr)
    print(_printed(found.design, options.form), end="")
    if found.text is None:
        return Exit.UNMET
    if options.into is not None:
        contents = _contents(found, options.into)
        _free_to_write([place for place in places if place.name in contents], options)
        # Names of files stand apart from a document that a program may read.
        out = sys.stdout
        sys.stdout = sys.stderr if options.form == "json" else out
        try:
            write_files(contents, options.into.parent)
        finally:
            sys.stdout = out
    return Exit.DONE


@contextmanager
def _counted() -> Iterator[Callable[[int], None]]:
    """Shows how many cases have been balanced while someone watches. How many there will be is not
    known before a search has ended."""
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
    """Where files go. Raises HogginError, before the search, for what can't be written."""
    into: Path | None = options.into
    if into is None:
        return []
    if into.suffix != ".hog":
        raise HogginError(f"`{into}`: a plant's file name ends in `.hog`")
    _free_to_write([into], options)
    return [into, *(into.with_name(f"{into.stem}_front{end}") for end in (".csv", ".svg"))]


def _free_to_write(places: list[Path], options: argparse.Namespace) -> None:
    there = [place for place in places if place.exists() or place.is_symlink()]
    if there and not options.overwrite:
        raise HogginError(f"`{there[0]}` is there already; --overwrite replaces it")


def _printed(found: Design, form: str) -> str:
    from hoggin.commands.showing import shown
    from hoggin.report.design import document
    from hoggin.report.results_json import found_json

    return found_json(found) if form == "json" else shown(document(found), form)


def _contents(found: Found, into: Path) -> dict[str, str]:
    from hoggin.report import text
    from hoggin.report.design import front_table
    from hoggin.report.front_plot import plot

    assert found.text is not None
    contents = {into.name: found.text}
    if found.design.frontier:
        contents[f"{into.stem}_front.csv"] = text.comma_separated(front_table(found.design))
        contents[f"{into.stem}_front.svg"] = plot(found.design)
    return contents
