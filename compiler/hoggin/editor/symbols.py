"""Finds things by name in every file of the projects that are open."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from hoggin.editor.outline import Entry, outline
from hoggin.editor.project import Project

_MOST = 500
_LEFT_OUT = ("library", "requirement")  # what a file only uses, or has no name


@dataclass(frozen=True, slots=True)
class Found:
    path: Path
    entry: Entry
    container: str  # the file, and what the thing stands in


def symbols(project: Project, folders: Iterable[Path], query: str) -> tuple[Found, ...]:
    """The things whose names hold the letters of the query in their order; the shortest first."""
    found = (one for one in _all(project, folders) if _is_asked(query, one.entry.title))
    ordered = sorted(found, key=lambda one: (len(one.entry.title), one.entry.title, one.container))
    return tuple(islice(ordered, _MOST))


def _all(project: Project, folders: Iterable[Path]) -> Iterator[Found]:
    roots = {project.snapshot(path).root for path in project.texts} | set(folders)
    outer = {root for root in roots if not any(other in root.parents for other in roots)}
    for root in sorted(outer):
        for name, file in project.files_in(root).items():
            yield from _in(root / name, name, outline(file))


def _in(path: Path, container: str, entries: Iterable[Entry]) -> Iterator[Found]:
    for entry in entries:
        if entry.kind not in _LEFT_OUT:
            yield Found(path, entry, container)
        yield from _in(path, f"{container}, {entry.title}", entry.inner)


def _is_asked(query: str, title: str) -> bool:
    letters = iter(title.lower())
    return all(letter in letters for letter in query.lower() if not letter.isspace())
