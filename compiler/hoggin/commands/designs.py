"""Plants as a command line names them: `FILE.hog`, or in a git repository `REVISION:FILE.hog`,
`:FILE.hog` as staged, and `:1:FILE.hog`, `:2:FILE.hog` and `:3:FILE.hog` for the base, our side
and their side of a merge in progress.

If a file of this name is on the disk, it is that file. Otherwise, what is before the first `:` is a
revision, by any name git knows, and the path after it is relative to the current folder.
"""

from __future__ import annotations

import os
import re
from pathlib import Path, PurePosixPath

from hoggin.revisions import Revision, RevisionWorld, find_commit, find_index
from hoggin.world import UnreadableError, World

_STAGED = re.compile(r":(?:([0-3]):)?")


def world_of(name: str) -> World:
    """The world from which a plant is read. Raises UnreadableError."""
    found = in_revision(name)
    return World(Path(name)) if found is None else RevisionWorld(*found)


def in_revision(name: str) -> tuple[Revision, PurePosixPath] | None:
    """The revision in a name, and the path in it from the repository's root; None for a name of a
    file on the disk. Raises UnreadableError."""
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
    """A path relative to the repository's root, given one relative to the current folder.

    Raises UnreadableError.
    """
    whole = os.path.normpath(Path.cwd().resolve() / path)
    inside = os.path.relpath(whole, root.resolve())
    if inside.startswith(".."):
        raise UnreadableError("it lies outside the repository")
    return PurePosixPath(Path(inside).as_posix())
