"""Makes output safe for a terminal, whatever a plant's texts and file names contain."""

from __future__ import annotations

import os
import sys
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, TextIO, cast

from hoggin.progress import CLEAR

_UNSEEN = ("Cc", "Cf", "Cs", "Zl", "Zp")


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
    """A text stream whose `write` escapes what can't be printed; all else is the stream's own."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        # The only output of ours that moves the cursor: a progress bar clears its line first.
        lead = CLEAR if text.startswith(CLEAR) else ""
        shown = lead + seen(text[len(lead) :])
        try:
            self._stream.write(shown)
        except UnicodeEncodeError:  # a terminal with few letters
            letters = self._stream.encoding
            self._stream.write(shown.encode(letters, "backslashreplace").decode(letters))
        return len(text)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


@contextmanager
def fit_for_terminals() -> Iterator[None]:
    """Inside it, everything printed to standard output and error is safe for a terminal."""
    before = sys.stdout, sys.stderr
    sys.stdout, sys.stderr = (cast(TextIO, _Screen(stream)) for stream in before)
    try:
        yield
    finally:
        sys.stdout, sys.stderr = before


def drop_output() -> None:
    """Stop printing: what can't be written now would fail again when the process ends."""
    try:
        sys.stdout.flush()
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
