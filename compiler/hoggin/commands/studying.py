"""What the commands of long studies share: where they run, how they go on, and what they say."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from hoggin.commands.arguments import add_workers
from hoggin.errors import Exit, HogginError
from hoggin.progress import watched

if TYPE_CHECKING:
    from hoggin.studies.runner.progress import Progress
    from hoggin.studies.runner.spread import Spread


def add_place(parser: argparse.ArgumentParser, folder: str) -> None:
    """The plant's file, and where files go; `folder` is the last part of that by default."""
    parser.add_argument("file", type=Path, metavar="FILE.hog")
    parser.add_argument(
        "--into",
        type=Path,
        metavar="FOLDER",
        help=f"where its files go (default: out/NAME/{folder})",
    )


def add_options(parser: argparse.ArgumentParser, folder: str) -> None:
    """Options of a study of many cases."""
    add_place(parser, folder)
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

    return Progress(cases, sys.stderr, terminal=watched())


def run_study(folder: Path, study: Callable[[], Exit]) -> Exit:
    """Run a study, which gives an exit code. Raises HogginError for what may end it from outside;
    `folder` is where the study keeps what it has done."""
    from hoggin.pool import PoolError, ended_as_interrupted
    from hoggin.studies.runner.keeping import NAME

    gc.enable()  # many cases are balanced in one process
    try:
        with ended_as_interrupted():
            return study()
    except PoolError as fault:
        raise HogginError(f"{fault}; {_left(folder / NAME)}") from None
    except KeyboardInterrupt:
        raise HogginError(f"interrupted; {_left(folder / NAME)}", Exit.INTERRUPTED) from None


def _left(kept: Path) -> str:
    if kept.exists():
        return f"`{kept}` keeps what was done: `--resume` goes on with it"
    return "nothing half-written is left"
