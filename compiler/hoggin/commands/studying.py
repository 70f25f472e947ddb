"""What the commands of long studies share: where they run, how they go on, and what they say."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from hoggin.commands.arguments import add_workers

if TYPE_CHECKING:
    from hoggin.studies.runner.progress import Progress
    from hoggin.studies.runner.spread import Spread

OK, SOURCE_ERRORS, USAGE, UNBALANCED, INTERRUPTED = 0, 1, 2, 3, 130


def add_options(parser: argparse.ArgumentParser, folder: str) -> None:
    """Options of every study; `folder` is the last part of where its files go by default."""
    parser.add_argument("file", type=Path, metavar="FILE.hog")
    parser.add_argument(
        "--into",
        type=Path,
        metavar="FOLDER",
        help=f"where its files go (default: out/NAME/{folder})",
    )
    add_workers(parser, "processes at once")
    parser.add_argument(
        "--resume", action="store_true", help="go on with a study that was interrupted"
    )


def folder_of(options: argparse.Namespace, name: str) -> Path:
    into: Path | None = options.into
    file: Path = options.file
    return into or Path("out") / file.stem / name


def spread_of(options: argparse.Namespace) -> Spread:
    """Where the study runs."""
    from hoggin.studies.runner.spread import Cluster, Here

    if options.cluster:
        return Cluster(options.cluster)
    return Here(options.jobs or os.cpu_count() or 1)


def progress_of(cases: int) -> Progress:
    from hoggin.studies.runner.progress import Progress

    watched = sys.stderr.isatty() and os.environ.get("TERM") != "dumb"
    return Progress(cases, sys.stderr, terminal=watched)


def told(folder: Path, study: Callable[[], int]) -> int:
    """Run a study, which gives an exit code. What may end it early is told in a sentence and has
    an exit code as well; `folder` is where the study keeps what it has done."""
    from concurrent.futures.process import BrokenProcessPool

    from hoggin.diagnostics.render import render_all
    from hoggin.report.errors import EmitError
    from hoggin.revise.regress.pool import ended_as_interrupted
    from hoggin.studies.runner.cases import StudyError
    from hoggin.studies.runner.keeping import NAME
    from hoggin.studies.runner.opening import SourceFaultError
    from hoggin.world import UnreadableError

    gc.enable()  # many cases are balanced in one process
    try:
        with ended_as_interrupted():
            return study()
    except SourceFaultError as fault:
        print(render_all(fault.diagnostics), end="", file=sys.stderr)
        return SOURCE_ERRORS
    except (StudyError, UnreadableError, EmitError) as fault:
        print(f"hoggin: {fault}", file=sys.stderr)
        return USAGE
    except BrokenProcessPool:
        why = "a process was ended from outside, perhaps for want of memory; try `--jobs 1`"
        print(f"hoggin: {why}; {_left(folder / NAME)}", file=sys.stderr)
        return USAGE
    except KeyboardInterrupt:
        print(f"hoggin: interrupted; {_left(folder / NAME)}", file=sys.stderr)
        return INTERRUPTED


def _left(kept: Path) -> str:
    if kept.exists():
        return f"`{kept}` keeps what was done: `--resume` goes on with it"
    return "nothing half-written is left"


def written(contents: Mapping[str, bytes], folder: Path) -> None:
    """Write files and name them; all of them or none. Raises EmitError."""
    from hoggin.report.documents import write

    for path in write(contents, folder):
        print(path)
