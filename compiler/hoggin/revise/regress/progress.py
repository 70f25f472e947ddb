"""How many cases of a regression are done, with the name of the last."""

from __future__ import annotations

from typing import TextIO

from hoggin.progress import Bar
from hoggin.revise.regress.outcome import visible


class Progress(Bar):
    """A bar that moves a case at a time."""

    def __init__(self, total: int, stream: TextIO, *, terminal: bool) -> None:
        super().__init__(total, stream, terminal=terminal)
        self._done = 0

    def __enter__(self) -> Progress:
        self._draw("")
        return self

    def step(self, name: str) -> None:
        """One more is done."""
        self._done += 1
        self._draw(name)

    def _draw(self, name: str) -> None:
        self._show(self._done, f"{self._done} of {self._total} done  {visible(name)}")
