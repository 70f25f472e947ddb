"""A line on a terminal while something long runs; nothing where no one watches."""

from __future__ import annotations

import os
import shutil
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from threading import Event, Thread
from typing import Self, TextIO, TypeVar

T = TypeVar("T")
_WIDTH = 24
CLEAR = "\r\x1b[K"  # what such a line begins with: to the start of the line, and wipe it
_EVERY_S = 1.0  # what is done sooner is not worth a line


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
        _draw(f"{'=' * filled + '.' * (_WIDTH - filled)} {words}", self._stream)


class Working:
    """What is being done, and for how long, while it takes longer than a second and how much is
    left is not known. To be used in a `with`, whose end clears the line."""

    def __init__(
        self,
        words: str,
        stream: TextIO,
        *,
        terminal: bool,
        every_s: float = _EVERY_S,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._words, self._stream = words, stream
        self._every_s, self._clock = every_s, clock
        self._ended = Event()
        self._thread = Thread(target=self._tick, daemon=True) if terminal else None

    def __enter__(self) -> Self:
        self._began = self._clock()
        if self._thread is not None:
            try:
                self._thread.start()
            except RuntimeError:  # the system allows no more threads: the work needs none
                self._thread = None
        return self

    def __exit__(self, *_raised: object) -> None:
        if self._thread is not None:
            self._ended.set()
            self._thread.join()

    def now(self, words: str) -> None:
        """What is being done from now on; the line has it at its next second."""
        self._words = words

    def each(self, words: str, things: Sequence[T]) -> Iterator[T]:
        """Some things one after another, counted: `balancing revision 3 of 12`."""
        for number, one in enumerate(things, 1):
            self.now(f"{words} {number} of {len(things)}")
            yield one

    def _tick(self) -> None:
        drawn = False
        while not self._ended.wait(self._every_s):
            _draw(f"{self._words}, {self._clock() - self._began:.0f} s", self._stream)
            drawn = True
        if drawn:
            self._stream.write(CLEAR)
            self._stream.flush()


def working(words: str) -> Working:
    """For a command: on standard error, if someone watches."""
    return Working(words, sys.stderr, terminal=watched())


def _draw(line: str, stream: TextIO) -> None:
    """The line, cut to the terminal's width so that it stays one."""
    columns = shutil.get_terminal_size().columns
    stream.write(CLEAR + line[: max(0, columns - 1)])
    stream.flush()
