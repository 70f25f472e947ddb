"""What the commands of long studies share: where they run, progress, what is kept of them when they
are interrupted, and messages."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TypeVar

from hoggin.commands.running import complain, write_files
from hoggin.errors import Exit, HogginError
from hoggin.pool import PoolError
from hoggin.progress import watched
from hoggin.studies.runner.cluster import Cluster
from hoggin.studies.runner.keeping import NAME, KeepingError
from hoggin.studies.runner.progress import Progress
from hoggin.studies.runner.spread import Here, Nowhere, Spread
from hoggin.writing import write

PARTIAL = "PARTIAL_"  # starts the name of a file of an interrupted study
Contents = Mapping[str, str | bytes]
Found = TypeVar("Found")


def spread_of(options: argparse.Namespace) -> Spread:
    """Where the study runs."""
    if options.cluster is not None:
        return Cluster(options.cluster)
    return Here(options.jobs or os.cpu_count() or 1)


def progress_of(cases: int) -> Progress:
    return Progress(cases, sys.stderr, terminal=watched())


def run_study(
    run: Callable[[Spread, Progress, bool], Found],
    cases: int,
    options: argparse.Namespace,
    folder: Path,
    partial: Callable[[Found], Contents],
) -> Found:
    """What a study finds. `run` is given where it runs, its progress, and whether it is resumed. If
    it is ended from outside, `partial` files of what is finished are written, marked as such."""
    finished = partial_in(folder, lambda: partial(run(Nowhere(), Progress.unseen(cases), True)))
    with finished, progress_of(cases) as progress:
        return run(spread_of(options), progress, options.resume)


@contextmanager
def partial_in(folder: Path, partial: Callable[[], Contents]) -> Iterator[None]:
    """While a study runs: if it is ended from outside and keeps anything, files of what is finished
    are written."""
    try:
        yield
    except (PoolError, KeepingError, MemoryError, KeyboardInterrupt):
        with suppress(HogginError, OSError, MemoryError):  # of a full disk: the first is reported
            if (folder / NAME).exists():
                for path in write(_marked(partial()), folder):
                    complain(f"`{path}` has the results so far")
        raise


def write_study(contents: Contents, folder: Path) -> None:
    """Write the files of a whole study, and remove those of its interrupted part."""
    write_files(contents, folder)
    remove_partial(contents, folder)


def remove_partial(names: Iterable[str], folder: Path) -> None:
    """Remove the files of the interrupted part of a study that is whole now."""
    for name in names:
        (folder / f"{PARTIAL}{name}").unlink(missing_ok=True)
    with suppress(OSError):  # a folder that has nothing else
        folder.rmdir()


def _marked(contents: Contents) -> dict[str, bytes]:
    return {
        f"{PARTIAL}{name}": one.encode() if isinstance(one, str) else one
        for name, one in contents.items()
    }


@contextmanager
def study_in(folder: Path) -> Iterator[None]:
    """The context of a running study. Raises HogginError for what may end it from outside; `folder`
    is where the study keeps its finished part."""
    gc.enable()  # many cases are balanced in one process
    try:
        yield
    except (PoolError, KeepingError) as fault:
        raise HogginError(f"{fault}; {_left(folder / NAME)}") from None
    except MemoryError:
        raise HogginError(f"out of memory; {_left(folder / NAME)}") from None
    except KeyboardInterrupt:
        raise HogginError(f"interrupted; {_left(folder / NAME)}", Exit.INTERRUPTED) from None


def _left(kept: Path) -> str:
    if kept.exists():
        return f"`{kept}` has the finished part: `--resume` continues it"
    return "no partial files are left"
