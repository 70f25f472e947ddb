"""Which libraries of its own a file reaches, and with what content, in many states at once."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path, PurePosixPath
from typing import TypeVar

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.revisions.git import blob
from hoggin.syntax import tree
from hoggin.syntax.parser import parse
from hoggin.world import UnreadableError, decoded

Contents = Mapping[PurePosixPath, str | None]
"""Hashes by path: of a file and of every library it reaches; None of one that is not there."""

_State = TypeVar("_State")


def contents(
    root: Path,
    states: Iterable[_State],
    path: PurePosixPath,
    hashes: Callable[[Sequence[tuple[_State, PurePosixPath]]], Sequence[str | None]],
) -> dict[_State, Contents]:
    """What a file and its libraries contain in each state. `hashes` answers for files of states."""
    found: dict[_State, dict[PurePosixPath, str | None]] = {state: {} for state in states}
    used: dict[tuple[str, PurePosixPath], list[PurePosixPath]] = {}
    asked = [(state, path) for state in found]
    while asked:
        reached: dict[tuple[_State, PurePosixPath], None] = {}
        for (state, file), digest in zip(asked, hashes(asked), strict=True):
            found[state][file] = digest
            if digest is None:
                continue
            if (digest, file) not in used:
                used[digest, file] = _used(root, digest, file)
            reached.update(((state, library), None) for library in used[digest, file])
        asked = [(state, file) for state, file in reached if file not in found[state]]
    return dict(found)


def _used(root: Path, digest: str, file: PurePosixPath) -> list[PurePosixPath]:
    """The paths of the files of the repository that a file uses."""
    try:
        text = decoded(blob(root, digest, "git"))
    except UnreadableError:
        return []
    read = parse(Source(f"{file}", text), Diagnostics())
    written = (
        statement.target.text
        for statement in read.statements
        if isinstance(statement, tree.Use) and isinstance(statement.target, tree.Text)
    )
    whole = (os.path.normpath(file.parent / name) for name in written if "\0" not in name)
    return [PurePosixPath(name) for name in whole if not name.startswith(("..", "/"))]
