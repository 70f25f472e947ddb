"""A world of files that git keeps."""

from __future__ import annotations

import os
from pathlib import Path, PurePosixPath

from hoggin.revisions.commits import Commit
from hoggin.revisions.index import Index
from hoggin.world import World

Revision = Commit | Index
"""A state of the files that git keeps."""


class RevisionWorld(World):
    """A world whose plant and library files are those of one revision. What comes with the
    compiler comes from the compiler that runs."""

    def __init__(self, revision: Revision, path: PurePosixPath) -> None:
        self._revision = revision
        super().__init__(revision.root / path)

    def _find_root(self) -> Path:
        return self._revision.root

    def _resolve(self, path: Path) -> Path:
        # Not by the disk's links: the revision has its own, which git follows.
        return Path(os.path.normpath(path))

    def _bytes(self, path: Path) -> bytes:
        return self._revision.content(PurePosixPath(path.relative_to(self.root).as_posix()))
