"""Every fix of a document that needs no choice, as one change."""

from __future__ import annotations

from dataclasses import dataclass

from hoggin.editor.edits import Edit, applied, rewriting
from hoggin.editor.faults import faults_of
from hoggin.editor.fixes import tried
from hoggin.editor.project import Project
from hoggin.editor.snapshot import Snapshot

_MOST = 100  # rounds; each mends one diagnostic, and may show others that it hid


@dataclass(frozen=True, slots=True)
class AllFixed:
    count: int
    edits: tuple[Edit, ...]


def all_fixed(project: Project, snapshot: Snapshot) -> AllFixed:
    """The fixes that are the only one of their diagnostic, applied one after another. Each is tried
    by the checker on what those before it made of the text."""
    before, count = snapshot.source, 0
    after = Project(project.reader, dict(project.texts))
    passed: set[tuple[str, str, str]] = set()  # diagnostics that a fix was applied for
    while count < _MOST and (edits := _next(after, snapshot, passed)):
        after.put(snapshot.path, applied(snapshot.source.text, edits))
        snapshot = after.snapshot(snapshot.path)
        count += 1
    return AllFixed(count, rewriting(before, snapshot.source.text))


def _next(
    project: Project, snapshot: Snapshot, passed: set[tuple[str, str, str]]
) -> tuple[Edit, ...]:
    """The first fix that is not the one applied last: two that undo each other would never end."""
    for fault in faults_of(snapshot):
        if fault.span.source.name != snapshot.name:
            continue
        key = (fault.code, fault.message, _line(snapshot, fault.span.line))
        found = () if key in passed else tried(project, snapshot, fault)
        if len(found) == 1 and found[0].sure:
            passed.add(key)
            return found[0].edits
    return ()


def _line(snapshot: Snapshot, number: int) -> str:
    return snapshot.source.text.split("\n")[number - 1]
