"""What the commands of long studies share: where they run, how they go on, and what they say."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from hoggin.study.progress import Progress
    from hoggin.study.spread import Spread

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
    parser.add_argument(
        "--jobs",
        type=at_least(1),
        metavar="N",
        help="processes at once (default: one for each processor)",
    )
    parser.add_argument(
        "--cluster", metavar="ADDRESS", help="a dask scheduler to work on: tcp://HOST:8786"
    )
    parser.add_argument(
        "--resume", action="store_true", help="go on with a study that was interrupted"
    )


def at_least(least: int) -> Callable[[str], int]:
    """An argument that is a whole number of this or more."""

    def whole_number(text: str) -> int:
        if not text.isdecimal() or int(text) < least:
            raise argparse.ArgumentTypeError(f"`{text}` is not a whole number of {least} or more")
        return int(text)

    return whole_number


def folder_of(options: argparse.Namespace, name: str) -> Path:
    into: Path | None = options.into
    file: Path = options.file
    return into or Path("out") / file.stem / name


def spread_of(options: argparse.Namespace) -> Spread:
    """Where the study runs."""
    from hoggin.study.spread import Cluster, Here

    if options.cluster:
        return Cluster(options.cluster)
    return Here(options.jobs or os.cpu_count() or 1)


def progress_of(cases: int) -> Progress:
    from hoggin.study.progress import Progress

    watched = sys.stderr.isatty() and os.environ.get("TERM") != "dumb"
    return Progress(cases, sys.stderr, terminal=watched)


class EndedError(Exception):
    """A study ended early; it has been told why."""

    def __init__(self, code: int) -> None:
        super().__init__(code)
        self.code = code


@contextmanager
def told(folder: Path) -> Iterator[None]:
    """Turns what may end a study into sentences and an exit code (EndedError)."""
    from concurrent.futures.process import BrokenProcessPool

    from hoggin.diagnostics.render import render_all
    from hoggin.emit.errors import EmitError
    from hoggin.regress.pool import ended_as_interrupted
    from hoggin.study.cases import StudyError
    from hoggin.study.keeping import NAME
    from hoggin.study.opening import SourceFaultError
    from hoggin.world import UnreadableError

    gc.enable()  # many cases are balanced in one process
    try:
        with ended_as_interrupted():
            yield
    except SourceFaultError as fault:
        print(render_all(fault.diagnostics), end="", file=sys.stderr)
        raise EndedError(SOURCE_ERRORS) from None
    except (StudyError, UnreadableError, EmitError) as fault:
        print(f"hoggin: {fault}", file=sys.stderr)
        raise EndedError(USAGE) from None
    except BrokenProcessPool:
        why = "a process was ended from outside, perhaps for want of memory; try `--jobs 1`"
        print(f"hoggin: {why}; {_left(folder / NAME)}", file=sys.stderr)
        raise EndedError(USAGE) from None
    except KeyboardInterrupt:
        print(f"hoggin: interrupted; {_left(folder / NAME)}", file=sys.stderr)
        raise EndedError(INTERRUPTED) from None


def _left(kept: Path) -> str:
    if kept.exists():
        return f"`{kept}` keeps what was done: `--resume` goes on with it"
    return "nothing half-written is left"


def written(contents: Mapping[str, bytes], folder: Path) -> None:
    """Write files and name them; all of them or none. Raises EmitError."""
    from hoggin.emit.documents import write

    for path in write(contents, folder):
        print(path)
