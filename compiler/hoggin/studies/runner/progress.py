"""A progress bar with the time left while a long study runs; only on a terminal."""

from __future__ import annotations

import io
import time
from collections.abc import Callable
from typing import TextIO

from hoggin.progress import Bar


class Progress(Bar):
    """A progress bar with the time left. `total` counts cases."""

    def __init__(
        self,
        total: int,
        stream: TextIO,
        *,
        terminal: bool,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        super().__init__(total, stream, terminal=terminal)
        self._clock = clock
        self._done = self._known = 0
        self._began = clock()

    @classmethod
    def unseen(cls, total: int) -> Progress:
        """Of what no one watches."""
        return cls(total, io.StringIO(), terminal=False)

    def start(self, known: int) -> None:
        """So many cases are already known; the clock starts now."""
        self._known = self._done = known
        self._began = self._clock()
        self._draw()

    def step(self, cases: int) -> None:
        self._done += cases
        self._draw()

    def _draw(self) -> None:
        words = f"{self._done:,} of {self._total:,} cases{self._left()}" if self._watched else ""
        self.show(self._done, words)

    def _left(self) -> str:
        fresh, open_ = self._done - self._known, self._total - self._done
        if fresh <= 0 or open_ <= 0:
            return ""
        return f", {time_left((self._clock() - self._began) * open_ / fresh)} left"


def time_left(seconds: float) -> str:
    """About how long, in words: `40 s`, `3 min`, `2 h 10 min`."""
    if seconds < 55:
        return f"{max(1, 5 * round(seconds / 5)) if seconds > 7.5 else max(1, round(seconds))} s"
    minutes = max(1, round(seconds / 60))
    if minutes < 60:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60} min"
