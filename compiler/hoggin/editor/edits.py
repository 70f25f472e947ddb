"""Changes of text that an answer proposes."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import takewhile

from hoggin.diagnostics.source import Source
from hoggin.syntax.edits import applied

CODE = re.compile(r"`([^`\n]+)`")
"""The words of a message that are code."""


@dataclass(frozen=True, slots=True, order=True)
class Edit:
    """Put `text` in place of [start, end) of a file."""

    file: str
    start: int
    end: int
    text: str


@dataclass(frozen=True, slots=True)
class Fix:
    title: str
    edits: tuple[Edit, ...]
    sure: bool  # the one there is


def insertion(source: Source, place: int, text: str) -> Edit:
    return Edit(source.name, place, place, text)


def replacement(source: Source, start: int, end: int, text: str) -> Fix:
    """The only fix there is: `text` in place of what stands in [start, end)."""
    return Fix(f"write `{text}`", (Edit(source.name, start, end, text),), True)


def rewriting(source: Source, text: str) -> tuple[Edit, ...]:
    """What makes a source another text: from the first line that changes to the last."""
    if text == source.text:
        return ()
    old, new = source.text.splitlines(keepends=True), text.splitlines(keepends=True)
    first = _alike(old, new)
    last = _alike(old[first:][::-1], new[first:][::-1])
    start = len("".join(old[:first]))
    end = len(source.text) - len("".join(old[len(old) - last :]))
    return (Edit(source.name, start, end, "".join(new[first : len(new) - last])),)


def _alike(old: Sequence[str], new: Sequence[str]) -> int:
    """How many lines are the same from the first on."""
    pairs = takewhile(lambda pair: pair[0] == pair[1], zip(old, new, strict=False))
    return len(list(pairs))


__all__ = ["CODE", "Edit", "Fix", "applied", "insertion", "replacement", "rewriting"]
