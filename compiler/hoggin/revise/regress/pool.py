"""Work shared among processes: results in the order of the work, whichever is done first."""

from __future__ import annotations

import gc
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from contextlib import contextmanager
from types import FrameType
from typing import TypeVar

Item = TypeVar("Item")
Done = TypeVar("Done")


def each(
    work: Callable[[Item], Done], items: Sequence[Item], jobs: int, tell: Callable[[Item], None]
) -> list[Done]:
    """The work done on each item; `tell` is called as one is finished. With one job, or one item,
    it is done in this process.

    Raises BrokenProcessPool where a process was ended from outside. An interruption ends them all.
    """
    if jobs <= 1 or len(items) <= 1:
        done = []
        for item in items:
            done.append(work(item))
            tell(item)
        return done
    executor = ProcessPoolExecutor(min(jobs, len(items)), initializer=_begin)
    try:
        futures = {executor.submit(work, item): item for item in items}
        for future in as_completed(futures):
            future.result()
            tell(futures[future])
    except BaseException:
        for child in multiprocessing.active_children():
            child.terminate()
        executor.shutdown(cancel_futures=True)
        raise
    executor.shutdown()
    return [future.result() for future in futures]


@contextmanager
def ended_as_interrupted() -> Iterator[None]:
    """A request to end (SIGTERM, as CI sends it) is taken like one to interrupt."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGTERM, _interrupt)
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)


def _interrupt(_number: int, _frame: FrameType | None) -> None:
    raise KeyboardInterrupt


def _begin() -> None:
    """A process that works: it leaves interruptions to the command, and goes when that is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    gc.enable()
    threading.Thread(target=_go_with_parent, daemon=True).start()


def _go_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
