"""`hoggin`, also as `python -m hoggin`: what must be so before the command line is loaded."""

from __future__ import annotations

import errno
import io
import os
import sys

from hoggin import loading


def main() -> int:
    """Run the command line and return its exit code."""
    loading.begin()
    _open_closed_streams()
    from hoggin.commands.main import main as run

    return run()


def _open_closed_streams() -> None:
    """What is printed to a closed stream (`>&-`) is dropped; closed input is an error if it is
    read.

    Python has None in the place of such a stream, and the next file that is opened gets its
    number: what any library or program prints there would be written into that file.
    """
    for number, name in enumerate(("stdin", "stdout", "stderr")):
        if getattr(sys, name) is not None:
            continue
        opened = os.open(os.devnull, os.O_RDWR)
        if opened != number:
            os.dup2(opened, number)
            os.close(opened)
        stream = os.fdopen(number, "w", encoding="utf-8") if number else _closed_input()
        setattr(sys, name, stream)


def _closed_input() -> io.TextIOWrapper:
    return io.TextIOWrapper(io.BufferedReader(_Closed()))


class _Closed(io.RawIOBase):
    def readable(self) -> bool:
        return True

    def readinto(self, _buffer: object) -> int:
        raise OSError(errno.EBADF, "it is closed", "standard input")


if __name__ == "__main__":
    sys.exit(main())
