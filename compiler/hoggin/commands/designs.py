"""Plants as a command line names them: `FILE.hog`, or in a git repository `REVISION:FILE.hog`,
`:FILE.hog` as it is staged, and `:1:FILE.hog`, `:2:FILE.hog` and `:3:FILE.hog` as a merge in hand
has it in the base, on our side and on theirs.

A name that is a file on the disk is that file; else what is before its first `:` is a revision
by any name git knows, and the path after it is relative to the current folder, as everywhere.
"""

from __future__ import annotations

import os
import re
from pathlib import Path, PurePosixPath

from hoggin.revisions import Revision, RevisionWorld, find_commit, find_index
from hoggin.world import UnreadableError, World

_STAGED = re.compile(r":(?:([0-3]):)?")


def world_of(name: str) -> World:
    """The world that a plant is read from. Raises UnreadableError."""
    found = in_revision(name)
    return World(Path(name)) if found is None else RevisionWorld(*found)


def in_revision(name: str) -> tuple[Revision, PurePosixPath] | None:
    """The revision a name asks for and the path in it from the repository's root; None for a name
    of something on the disk. Raises UnreadableError."""
    if ":" not in name or Path(name).exists():
        return None
    here = Path.cwd()
    staged = _STAGED.match(name)
    if staged is not None:
        index = find_index(int(staged[1] or 0), here)
        return index, path_from_root(name[staged.end() :], index.root)
    revision, _, path = name.partition(":")
    commit = find_commit(revision, here)
    return commit, path_from_root(path, commit.root)


def path_from_root(path: str, root: Path) -> PurePosixPath:
    """A path seen from the current folder, from a repository's root. Raises UnreadableError."""
    whole = os.path.normpath(Path.cwd().resolve() / path)
    inside = os.path.relpath(whole, root.resolve())
    if inside.startswith(".."):
        raise UnreadableError("it lies outside the repository")
    return PurePosixPath(Path(inside).as_posix())
