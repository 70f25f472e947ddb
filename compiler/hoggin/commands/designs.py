"""Plants as a command line names them: `FILE.hog`, or `REVISION:FILE.hog` of a git repository.

A name that is a file on the disk is that file; else what stands before its first `:` is a revision
by any name git knows, and the path behind it is seen from the current folder, as everywhere.
"""

from __future__ import annotations

import os
from pathlib import Path, PurePosixPath

from hoggin.revisions import Revision, RevisionWorld, find_revision
from hoggin.world import UnreadableError, World


def world_of(name: str) -> World:
    """The world that a plant is read from. Raises UnreadableError."""
    found = in_revision(name)
    return World(Path(name)) if found is None else RevisionWorld(*found)


def in_revision(name: str) -> tuple[Revision, PurePosixPath] | None:
    """The revision a name asks for and the path in it from the repository's root; None for a name
    of something on the disk. Raises UnreadableError."""
    revision, colon, path = name.partition(":")
    if not colon or Path(name).exists():
        return None
    here = Path.cwd()
    found = find_revision(revision, here)
    inside = os.path.relpath(os.path.normpath(here.resolve() / path), found.root.resolve())
    if inside.startswith(".."):
        raise UnreadableError("it lies outside the repository")
    return found, PurePosixPath(Path(inside).as_posix())
