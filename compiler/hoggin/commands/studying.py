"""What the commands of long studies share: where they run, progress, resuming and messages."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from hoggin.errors import Exit, HogginError
from hoggin.pool import PoolError
from hoggin.progress import watched
from hoggin.studies.runner.cluster import Cluster
from hoggin.studies.runner.keeping import NAME
from hoggin.studies.runner.progress import Progress
from hoggin.studies.runner.spread import Here, Spread


def spread_of(options: argparse.Namespace) -> Spread:
    """Where the study runs."""
    if options.cluster is not None:
        return Cluster(options.cluster)
    return Here(options.jobs or os.cpu_count() or 1)


def progress_of(cases: int) -> Progress:
    return Progress(cases, sys.stderr, terminal=watched())


@contextmanager
def study_in(folder: Path) -> Iterator[None]:
    """The context of a running study. Raises HogginError for what may end it from outside; `folder`
    is where the study keeps its finished part."""
    gc.enable()  # many cases are balanced in one process
    try:
        yield
    except PoolError as fault:
        raise HogginError(f"{fault}; {_left(folder / NAME)}") from None
    except MemoryError:
        raise HogginError(f"out of memory; {_left(folder / NAME)}") from None
    except KeyboardInterrupt:
        raise HogginError(f"interrupted; {_left(folder / NAME)}", Exit.INTERRUPTED) from None


def _left(kept: Path) -> str:
    if kept.exists():
        return f"`{kept}` has the finished part: `--resume` continues it"
    return "no partial files are left"
