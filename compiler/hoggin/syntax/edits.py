"""Changes of a text that leave the rest of it as it is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol


class Change(Protocol):
    """What puts `text` in place of [start, end)."""

    @property
    def start(self) -> int: ...
    @property
    def end(self) -> int: ...
    @property
    def text(self) -> str: ...


@dataclass(frozen=True, slots=True)
class Edit:
    """Put `text` in place of [start, end)."""

    start: int
    end: int
    text: str


def applied(text: str, edits: Iterable[Change]) -> str:
    """The text with the edits made. They must not overlap; what goes in at one place goes in in
    the order given."""
    pieces: list[str] = []
    at = 0
    for edit in sorted(edits, key=lambda edit: edit.start):
        pieces += [text[at : edit.start], edit.text]
        at = edit.end
    return "".join([*pieces, text[at:]])
