"""A shell in a terminal of its own, to type at as a user does."""

from __future__ import annotations

import os
import pty
import re
import select
import signal
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

_ESCAPES = re.compile(
    r"\x1b(\[[0-9;?>=]*[ -/]*[@-~]|\][^\x07\x1b]*(\x07|\x1b\\)|[()][A-Z0-9]|[=>78])"
)
PATIENCE = 60.0  # seconds, on a busy machine


class Terminal:
    """A process with a terminal as its input and output."""

    def __init__(
        self, command: Sequence[str], folder: Path, environment: Mapping[str, str]
    ) -> None:
        self.name = Path(command[0]).name
        self._seen = ""
        self._process, self._line = pty.fork()
        if self._process == 0:
            os.chdir(folder)
            os.execvpe(command[0], list(command), {**os.environ, **environment})

    def type(self, text: str) -> None:
        os.write(self._line, text.encode())

    def until(self, wanted: str) -> str:
        """All that was printed, up to and with a text. Raises TimeoutError."""
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            plain = _ESCAPES.sub("", self._seen)
            if wanted in plain:
                self._seen = plain.partition(wanted)[2]
                return plain.partition(wanted)[0] + wanted
            if select.select([self._line], [], [], 0.2)[0]:
                self._seen += os.read(self._line, 65536).decode(errors="replace")
        raise TimeoutError(f"no {wanted!r} in {_ESCAPES.sub('', self._seen)!r}")

    def close(self) -> None:
        os.kill(self._process, signal.SIGKILL)
        os.waitpid(self._process, 0)
        os.close(self._line)
