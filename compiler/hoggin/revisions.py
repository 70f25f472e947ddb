"""Sources as they stand in a git revision, read from git's objects: the work tree is not touched.

Git itself is asked, so that every kind of repository and revision name it knows works here too.
"""

from __future__ import annotations

import os
import subprocess
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from hoggin.world import LARGEST_FILE, UnreadableError, World

_ABSENT = ("missing", "ambiguous", "dangling", "loop", "notdir")


@dataclass(frozen=True, slots=True)
class Revision:
    """A commit of the repository whose work tree is at `root`, under the name it was asked by."""

    root: Path
    name: str
    commit: str

    def content(self, path: PurePosixPath) -> bytes:
        """A file's content in this commit, links within the tree followed.

        Raises UnreadableError where there is none.
        """
        wanted = f"{self.commit}:{path}"
        if "\n" in wanted:
            raise UnreadableError("git names no such file")
        reply = _git(
            self.root, "cat-file", "--batch", "--follow-symlinks", given=os.fsencode(f"{wanted}\n")
        )
        head, _, rest = reply.partition(b"\n")
        words = head.decode(errors="replace").split()
        if words[-1] in _ABSENT or words[0] in _ABSENT:
            raise UnreadableError(f"there is no such file in {self.name}")
        if words[0] == "symlink":
            raise UnreadableError(f"in {self.name} it is a link that leads out of the repository")
        if words[1] != "blob":
            raise UnreadableError(f"in {self.name} it is no file")
        size = int(words[2])
        if size > LARGEST_FILE:
            raise UnreadableError(f"it is larger than {LARGEST_FILE // 1_000_000} MB")
        return rest[:size]

    def hash_of(self, path: PurePosixPath) -> str | None:
        """The git hash of a file's content in this commit."""
        reply = _git(self.root, "ls-tree", "-z", "--format=%(objectname)", self.commit, f"{path}")
        return reply.rstrip(b"\0").decode() or None

    def plants(self, folder: PurePosixPath) -> list[PurePosixPath]:
        """Every `.hog` file in a folder of this commit and below, by path from the root."""
        reply = _git(
            self.root, "ls-tree", "-r", "-z", "--name-only", self.commit, "--", f"{folder}"
        )
        paths = (PurePosixPath(os.fsdecode(name)) for name in reply.split(b"\0") if name)
        return sorted(path for path in paths if path.suffix == ".hog")

    def is_folder(self, path: PurePosixPath) -> bool:
        """Whether a path names a folder in this commit; the root itself does."""
        if path == PurePosixPath("."):
            return True
        reply = _git(self.root, "ls-tree", "-z", self.commit, "--", f"{path}")
        return reply.split(b" ")[1:2] == [b"tree"]


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


def find_revision(name: str, near: Path) -> Revision:
    """A revision by any name git knows it by, in the repository that `near` lies in.

    Raises UnreadableError where there is no git, no repository or no such revision.
    """
    root = Path(os.fsdecode(_git(near, "rev-parse", "--show-toplevel").rstrip(b"\n")))
    try:
        reply = _git(
            root, "rev-parse", "--verify", "--quiet", "--end-of-options", f"{name}^{{commit}}"
        )
    except UnreadableError:
        raise UnreadableError(f"git knows no revision `{name}`") from None
    return Revision(root, name, reply.decode().strip())


def find_holder(digest: str, path: PurePosixPath, near: Path) -> Revision | None:
    """A commit in which the file at a path from the root has the content of this git hash: the
    current one by preference, else the latest that brought or removed it; None where there is none.

    Raises UnreadableError where git fails.
    """
    here = find_revision("HEAD", near)
    log = _git(
        here.root, "log", "--all", "--format=%H %P", f"--find-object={digest}", "--", f"{path}"
    )
    for commit in (here.commit, *log.decode().split()):
        found = Revision(here.root, commit[:10], commit)
        if found.hash_of(path) == digest:
            return found
    return None


def _git(folder: Path, *arguments: str, given: bytes | None = None) -> bytes:
    try:
        done = subprocess.run(
            ["git", "-C", str(folder), "--literal-pathspecs", *arguments],
            input=given,
            capture_output=True,
            check=True,
        )
    except FileNotFoundError as fault:
        raise UnreadableError("git is not installed") from fault
    except (subprocess.CalledProcessError, OSError, ValueError) as fault:
        told = getattr(fault, "stderr", b"") or str(fault).encode()
        first = told.decode(errors="replace").strip().partition("\n")[0]
        raise UnreadableError(f"git says: {first.removeprefix('fatal: ')}") from fault
    return done.stdout
