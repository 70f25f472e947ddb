"""A bar on a terminal while cases are run; nothing where no one watches."""

from __future__ import annotations

import shutil
from types import TracebackType
from typing import TextIO

from hoggin.regress.outcome import visible

_BAR = 24
_CLEAR = "\r\x1b[K"


class Progress:
    """To be used in a `with`, whose end clears the bar."""

    def __init__(self, total: int, stream: TextIO, *, terminal: bool) -> None:
        self._total = total
        self._stream = stream
        self._watched = terminal and total > 0
        self._done = 0

    def __enter__(self) -> Progress:
        self._draw("")
        return self

    def __exit__(
        self,
        _type: type[BaseException] | None,
        _error: BaseException | None,
        _trace: TracebackType | None,
    ) -> None:
        if self._watched:
            self._stream.write(_CLEAR)
            self._stream.flush()

    def step(self, name: str) -> None:
        """One more is done."""
        self._done += 1
        self._draw(name)

    def _draw(self, name: str) -> None:
        if not self._watched:
            return
        filled = _BAR * self._done // self._total
        bar = "=" * filled + "." * (_BAR - filled)
        line = f"{bar} {self._done} of {self._total} done  {visible(name)}"
        columns = shutil.get_terminal_size().columns
        self._stream.write(_CLEAR + line[: max(0, columns - 1)])
        self._stream.flush()
