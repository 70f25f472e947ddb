"""The change log as data: what backends read, and its JSON format."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict

from hoggin.revise.compare import Comparison

FORMAT_VERSION = 1


class Mark(BaseModel):
    """A revision as its author left it. date: the commit's own, ISO 8601."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str  # its first tag, else its hash in short
    commit: str
    path: str  # what the plant's file is called there
    date: str
    by: str
    subject: str
    tags: tuple[str, ...]


class Entry(BaseModel):
    """A revision against the one before it that could be read. Without a comparison it is the first
    such, or `trouble` says why it could not be read."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    mark: Mark
    comparison: Comparison | None
    trouble: str | None


class ChangeLog(BaseModel):
    """entries: newest first."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    format_version: int = FORMAT_VERSION
    title: str  # of the plant, at its newest revision that could be read
    entries: tuple[Entry, ...]
