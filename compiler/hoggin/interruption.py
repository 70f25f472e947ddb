"""How a command is interrupted: by the keyboard (SIGINT), or by a request to end (SIGTERM, as CI
sends it).

A terminal interrupts a whole group of processes and people press twice. A second interruption would
break off the cleaning up after the first, so those that follow at once are taken as the same.

Modules are still loaded while a command works, and a library that is interrupted then may raise
another exception instead of KeyboardInterrupt: `came` says so.
"""

from __future__ import annotations

import signal
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

SIGNALS = (signal.SIGINT, signal.SIGTERM)
_AT_ONCE_S = 2.0
_came = False


@contextmanager
def interruptible() -> Iterator[None]:
    """Inside it, either signal raises KeyboardInterrupt. After an interruption the process ignores
    both to its end. A signal that this process was started to ignore stays ignored."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    interrupted: list[float] = []  # when

    def interrupt(_number: int, _frame: FrameType | None) -> None:
        now = time.monotonic()
        if interrupted and now - interrupted[-1] < _AT_ONCE_S:
            return
        interrupted.append(now)
        _note()
        raise KeyboardInterrupt

    before = {number: signal.getsignal(number) for number in SIGNALS}
    heeded = [number for number, how in before.items() if how is not signal.SIG_IGN]
    for number in heeded:
        signal.signal(number, interrupt)
    try:
        yield
    finally:
        for number in heeded:
            signal.signal(number, signal.SIG_IGN if interrupted else before[number])


def _note() -> None:
    global _came
    _came = True


def came() -> bool:
    """Whether this process was interrupted."""
    return _came
