"""Sources as they are in a commit, read from git's objects: the working tree is not touched."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from hoggin.revisions.git import ask, blob, root_of
from hoggin.world import UnreadableError


@dataclass(frozen=True, slots=True)
class Commit:
    """A commit under the name it was asked by, of the repository whose work tree is at `root`."""

    root: Path
    name: str
    commit: str

    def name_of(self, path: PurePosixPath) -> str:
        """A file in it as a command line names it: `HEAD:plants/hill.hog`."""
        return f"{self.name}:{path}"

    def content(self, path: PurePosixPath) -> bytes:
        """A file's content, links within the tree followed. Raises UnreadableError."""
        return blob(self.root, f"{self.commit}:{path}", self.name)

    def plants(self, folder: PurePosixPath) -> list[PurePosixPath]:
        """Every `.hog` file in a folder and below, in order, by path from the root."""
        reply = ask(self.root, "ls-tree", "-r", "-z", "--name-only", self.commit, "--", f"{folder}")
        paths = (PurePosixPath(os.fsdecode(name)) for name in reply.split(b"\0") if name)
        return sorted(path for path in paths if path.suffix == ".hog")

    def is_folder(self, path: PurePosixPath) -> bool:
        """Whether a path names a folder; the root itself does."""
        if path == PurePosixPath("."):
            return True
        reply = ask(self.root, "ls-tree", "-z", self.commit, "--", f"{path}")
        return reply.split(b" ")[1:2] == [b"tree"]


def find_commit(name: str, near: Path) -> Commit:
    """A commit by any name git knows it by, in the repository that `near` lies in.

    Raises UnreadableError where there is no git, no repository or no such revision.
    """
    root = root_of(near)
    try:
        reply = ask(
            root, "rev-parse", "--verify", "--quiet", "--end-of-options", f"{name}^{{commit}}"
        )
    except UnreadableError:
        raise UnreadableError(f"git has no revision `{name}`") from None
    return Commit(root, name, reply.decode().strip())
