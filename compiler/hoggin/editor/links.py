"""What in a document leads to a file: the library that a `use` names, and texts that are the name
of a file of the project, such as the source of a figure."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from hoggin.diagnostics.source import Span
from hoggin.editor.snapshot import Snapshot
from hoggin.syntax import tree

_LONGEST = 200  # characters of a text that may be a file's name


def links(snapshot: Snapshot) -> Iterator[tuple[Span, Path, str]]:
    """The text, the file, and a word for it."""
    used = set()
    for statement in snapshot.file.statements:
        if isinstance(statement, tree.Use):
            name = snapshot.names.used_file(statement)
            used.add(statement.target.span.start)
            if name in snapshot.files:
                yield statement.target.span, snapshot.path_of(name), f"open {name}"
    for token in snapshot.tokens:
        if token.kind == "STRING" and token.start not in used:
            path = _file(snapshot, token.text.strip('"'))
            if path is not None:
                span = Span(snapshot.source, token.start + 1, token.end - 1)
                yield span, path, f"open {path.name}"


def _file(snapshot: Snapshot, text: str) -> Path | None:
    """A file beside the document, or below."""
    if "." not in text or len(text) > _LONGEST or "\0" in text:
        return None
    try:
        path = (snapshot.path.parent / text).resolve()
        return path if path.is_relative_to(snapshot.root) and path.is_file() else None
    except (OSError, RuntimeError, ValueError):
        return None
