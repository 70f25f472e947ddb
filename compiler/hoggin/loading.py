"""Ctrl-C while the compiler is loaded.

Before a command begins, it ends the process at once: no file is open, so nothing has to be put in
order. Later it is an exception, so that a command can remove its drafts. Modules are still loaded
then, and a library that is interrupted may raise another exception instead: `came` says so.
"""

from __future__ import annotations

import os
import signal

_INTERRUPTED = 130  # `Exit.INTERRUPTED`, which is not loaded yet
_came = False


def begin() -> None:
    """From now on Ctrl-C ends the process at once, unless it was started to ignore it."""
    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        signal.signal(signal.SIGINT, _leave)


def end() -> None:
    """From now on Ctrl-C raises KeyboardInterrupt."""
    if signal.getsignal(signal.SIGINT) is _leave:
        signal.signal(signal.SIGINT, _raise)


def came() -> bool:
    """Whether Ctrl-C was pressed since a command began."""
    return _came


def _leave(*_: object) -> None:
    try:
        os.write(2, b"hoggin: interrupted; no partial files are left\n")
    finally:
        os._exit(_INTERRUPTED)


def _raise(*_: object) -> None:
    global _came
    _came = True
    raise KeyboardInterrupt
