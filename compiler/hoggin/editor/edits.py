"""Changes of text that an answer proposes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Edit:
    """Put `text` in place of [start, end) of a file."""

    file: str
    start: int
    end: int
    text: str


def applied(text: str, edits: Iterable[Edit]) -> str:
    """A file's text with its edits made; they must not overlap."""
    for edit in sorted(edits, reverse=True):
        text = text[: edit.start] + edit.text + text[edit.end :]
    return text
