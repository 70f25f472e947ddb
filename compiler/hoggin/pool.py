"""Work shared among processes of this machine: one way for every command that uses several.

Each process has its own connection and is given one item at a time. So whatever happens to a
process is noticed at once: its connection ends. Then the others are ended too and the command says
so; no process is left behind, however the command itself ends.
"""

from __future__ import annotations

import gc
import multiprocessing
import os
import signal
import sys
import threading
from collections.abc import Callable, Generator, Iterator, Sequence
from contextlib import contextmanager, suppress
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from typing import Any, TypeVar

from hoggin.errors import HogginError
from hoggin.interruption import SIGNALS

Item = TypeVar("Item")
Done = TypeVar("Done")
_GONE = "a process was ended from outside, perhaps because memory ran out; try one process"
_THREADLESS = "the system allows no more threads; try one process"
_FORKS = sys.platform == "linux"  # where a fork is safe


class PoolError(HogginError):
    """The processes can't be started, or one of them is gone; the message is a sentence."""


def spread(
    work: Callable[[Item], Done], items: Sequence[Item], processes: int
) -> Generator[tuple[int, Done], None, None]:
    """What the work gives for each item, with the item's number, as each is finished. With one
    process, or one item, it is done in this process, in order.

    Raises PoolError, and what the work raises. However it ends, no process is left.
    """
    if processes <= 1 or len(items) <= 1:
        yield from ((number, work(item)) for number, item in enumerate(items))
        return
    crew: dict[Connection, BaseProcess] = {}
    try:
        _start(crew, work, min(processes, len(items)))
        yield from _given_out(items, list(crew))
    finally:
        for process in crew.values():
            process.kill()
        for connection, process in crew.items():
            process.join()
            connection.close()


def _start(crew: dict[Connection, BaseProcess], work: Callable[[Any], Any], count: int) -> None:
    """Start the processes, each into the crew as it runs. Raises PoolError."""
    context: Any = multiprocessing.get_context("fork" if _FORKS else None)
    try:
        with _signals_held():
            for _ in range(count):
                ours, theirs = context.Pipe()
                with theirs:
                    process = context.Process(target=_serve, args=(work, theirs), daemon=True)
                    process.start()
                crew[ours] = process
    except OSError as fault:
        why = (fault.strerror or str(fault)).lower()
        raise PoolError(f"{count} processes can't be started: {why}; try one process") from None


@contextmanager
def _signals_held() -> Iterator[None]:
    """A process is not interrupted before it has taken its own way with signals, nor this one
    before it knows of the process."""
    if not _FORKS:
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, SIGNALS)
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _given_out(items: Sequence[Any], idle: list[Connection]) -> Iterator[tuple[int, Any]]:
    """Give an item to each process that has none. Such a process reads it at once, so neither side
    ever waits for the other to read."""
    waiting = iter(enumerate(items))
    at_work: dict[Connection, int] = {}
    finished: list[tuple[int, bool, Any]] = []
    while True:
        try:
            for connection, (number, item) in zip(idle, waiting, strict=False):
                connection.send(item)
                at_work[connection] = number
        except OSError:
            raise PoolError(_GONE) from None
        for number, failed, done in finished:
            if failed:
                raise done
            yield number, done
        if not at_work:
            return
        idle = [one for one in wait(list(at_work)) if isinstance(one, Connection)]
        try:
            finished = [(at_work.pop(one), *one.recv()) for one in idle]
        except (EOFError, OSError):
            raise PoolError(_GONE) from None


def _serve(work: Callable[[Any], Any], connection: Connection) -> None:
    """A process of the crew. It leaves interruptions to the command, and ends with it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    if _FORKS:
        signal.pthread_sigmask(signal.SIG_UNBLOCK, SIGNALS)
    gc.enable()
    with suppress(EOFError, OSError):  # the command is gone, and nobody is left to report to
        try:
            threading.Thread(target=_end_with_parent, daemon=True).start()
        except RuntimeError:
            connection.send((True, PoolError(_THREADLESS)))
            return
        while True:
            item = connection.recv()
            try:
                answer = (False, work(item))
            except Exception as fault:
                answer = (True, fault)
            connection.send(answer)


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
