"""A bar on a terminal while something long runs; nothing where no one watches."""

from __future__ import annotations

import os
import shutil
import sys
from typing import Self, TextIO

_WIDTH = 24
CLEAR = "\r\x1b[K"  # what a bar begins with: to the start of the line, and wipe it


def watched() -> bool:
    """Whether someone watches standard error, on a terminal where a bar can be drawn."""
    return sys.stderr.isatty() and os.environ.get("TERM") != "dumb"


class Bar:
    """To be used in a `with`, whose end clears the bar."""

    def __init__(self, total: int, stream: TextIO, *, terminal: bool) -> None:
        self._total, self._stream = total, stream
        self._watched = terminal and total > 0

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_raised: object) -> None:
        if self._watched:
            self._stream.write(CLEAR)
            self._stream.flush()

    def show(self, done: int, words: str) -> None:
        """Draw the bar for so many done, with words after it, cut to the terminal's width."""
        if not self._watched:
            return
        filled = _WIDTH * done // self._total
        line = f"{'=' * filled + '.' * (_WIDTH - filled)} {words}"
        columns = shutil.get_terminal_size().columns
        self._stream.write(CLEAR + line[: max(0, columns - 1)])
        self._stream.flush()
