"""Ctrl-C while the compiler is loaded, before a command begins: it ends the process at once, for no
file is open and nothing has to be put in order. `interruption` has what follows."""

from __future__ import annotations

import os
import signal

_INTERRUPTED = 130  # `Exit.INTERRUPTED`, which is not loaded yet


def begin() -> None:
    """From now on Ctrl-C ends the process at once, unless it was started to ignore it."""
    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        signal.signal(signal.SIGINT, _leave)


def _leave(*_: object) -> None:
    try:
        os.write(2, b"hoggin: interrupted; no partial files are left\n")
    finally:
        os._exit(_INTERRUPTED)
