"""What is printed to a terminal: safe whatever a plant's texts and file names contain, as wide as
the terminal, and in colour where that is wanted."""

from __future__ import annotations

import os
import shutil
import sys
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from itertools import zip_longest
from typing import Any, Literal, TextIO, cast

from hoggin.folding import WIDTH, folded
from hoggin.paint import SEQUENCE, Paint, coloured, plain
from hoggin.progress import CLEAR

When = Literal["auto", "always", "never"]
_UNSEEN = ("Cc", "Cf", "Cs", "Zl", "Zp")


def colour(when: When) -> None:
    """Print standard output and error in colour, if that is wanted."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, _Screen):
            stream.paint = coloured if _wanted(when, stream) else plain


def _wanted(when: When, stream: _Screen) -> bool:
    """The option decides, then NO_COLOR and FORCE_COLOR, then whether there is a terminal."""
    if when != "auto":
        return when == "always"
    if os.environ.get("NO_COLOR"):
        return False
    return bool(os.environ.get("FORCE_COLOR")) or (
        stream.isatty() and os.environ.get("TERM") != "dumb"
    )


def paint_of(stream: TextIO) -> Paint:
    return stream.paint if isinstance(stream, _Screen) else plain


def width_of(stream: TextIO) -> int:
    """The columns of tables and paragraphs. Only a terminal that has more than `WIDTH` changes it,
    so what is kept in a file does not depend on where it was made."""
    if not stream.isatty():
        return WIDTH
    return max(WIDTH, shutil.get_terminal_size((WIDTH, 24)).columns)


def say(text: str, stream: TextIO | None = None) -> None:
    """Print lines of words. A terminal has long ones folded; a program that reads them finds each
    as one line."""
    to = sys.stdout if stream is None else stream
    print(folded(text, width_of(to)) if to.isatty() else text, file=to)


def seen(text: str) -> str:
    """The text with each invisible sign that affects the terminal (control and direction
    characters, halves of letters) as `\\uXXXX`. So JSON stays the same JSON, and two texts that
    differ only in such a sign still differ."""
    unseen = {c for c in set(text) if unicodedata.category(c) in _UNSEEN and c not in "\n\t"}
    return text.translate({ord(sign): _escape(sign) for sign in unseen}) if unseen else text


def _escape(sign: str) -> str:
    units = sign.encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[at : at + 2].hex()}" for at in range(0, len(units), 2))


class _Screen:
    """A text stream whose `write` escapes what can't be printed; all else is the stream's own.

    A stream that can't be written to ends no command: its documents and its verdict do not depend
    on who reads what it prints. `fault` says what happened, and nothing more is printed.
    """

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self.fault: OSError | None = None
        self.paint: Paint = plain

    def write(self, text: str) -> int:
        # The only output of ours that moves the cursor: a progress bar clears its line first.
        lead = CLEAR if text.startswith(CLEAR) else ""
        shown = lead + self._seen(text[len(lead) :])
        with self._kept():
            try:
                self._stream.write(shown)
            except UnicodeEncodeError:  # a terminal with few letters
                letters = self._stream.encoding
                self._stream.write(shown.encode(letters, "backslashreplace").decode(letters))
        return len(text)

    def _seen(self, text: str) -> str:
        """The text made safe. Where colour is wanted, its sequences stay."""
        if self.paint is plain:
            return seen(text)
        between = map(seen, SEQUENCE.split(text))
        return "".join(map("".join, zip_longest(between, SEQUENCE.findall(text), fillvalue="")))

    def flush(self) -> None:
        with self._kept():
            self._stream.flush()

    @contextmanager
    def _kept(self) -> Iterator[None]:
        """Keep the fault of a stream. What is left in its buffer then leads nowhere, as it would
        fail again when the process ends."""
        try:
            yield
        except OSError as fault:
            self.fault = self.fault or fault
            with suppress(OSError), open(os.devnull, "wb") as nowhere:  # noqa: PTH123
                os.dup2(nowhere.fileno(), self._stream.fileno())

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


@dataclass(frozen=True, slots=True)
class Printed:
    """What became of the output of a command."""

    _out: _Screen

    def fault(self) -> str:
        """Why standard output is not complete; "" where it is, or where its reader, such as
        `head`, has closed the pipe: that one has all that it wants."""
        self._out.flush()
        fault = self._out.fault
        if fault is None or isinstance(fault, BrokenPipeError):
            return ""
        return (fault.strerror or str(fault)).lower()


@contextmanager
def fit_for_terminals() -> Iterator[Printed]:
    """Inside it, everything printed to standard output and error is safe for a terminal."""
    before = sys.stdout, sys.stderr
    out, err = (_Screen(stream) for stream in before)
    sys.stdout, sys.stderr = cast(TextIO, out), cast(TextIO, err)
    try:
        yield Printed(out)
    finally:
        err.flush()
        sys.stdout, sys.stderr = before
