"""The change log as data: what backends read, and its JSON format."""

from __future__ import annotations

from hoggin.revise.compare import Comparison
from hoggin.schema.frozen import Frozen


class Mark(Frozen):
    """A revision as its author left it. date: the commit's own, ISO 8601."""

    name: str  # its first tag, else its hash in short
    commit: str
    path: str  # what the plant's file is called there
    date: str
    by: str
    subject: str
    tags: tuple[str, ...]


class Entry(Frozen):
    """A revision against the one before it that could be read. Without a comparison it is the first
    such, or `trouble` says why it could not be read."""

    mark: Mark
    comparison: Comparison | None
    trouble: str | None


class ChangeLog(Frozen):
    """entries: newest first."""

    format_version: int = 1
    title: str  # of the plant, at its newest revision that could be read
    entries: tuple[Entry, ...]
