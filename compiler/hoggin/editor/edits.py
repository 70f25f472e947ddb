"""Changes of text that an answer proposes."""

from __future__ import annotations

from dataclasses import dataclass

from hoggin.syntax.edits import applied


@dataclass(frozen=True, slots=True, order=True)
class Edit:
    """Put `text` in place of [start, end) of a file."""

    file: str
    start: int
    end: int
    text: str


__all__ = ["Edit", "applied"]
