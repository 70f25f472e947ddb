"""In which states of a repository a file has a given content, and what its libraries are there.

Git hands an external program a file's content and not the commit it is from. Where every state that
holds this content has the same libraries, they are known all the same.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path, PurePosixPath

from hoggin.revisions.commits import Commit
from hoggin.revisions.git import ask, hashes, root_of
from hoggin.revisions.index import Index, find_index
from hoggin.revisions.libraries import Contents, contents
from hoggin.revisions.world import RevisionWorld
from hoggin.world import UnreadableError, World

_SHORT = 10  # letters of a hash, as it is shown


@dataclass(frozen=True)
class Holder:
    """A state that holds the file: a commit (with its parents), the index, or the working tree."""

    root: Path
    path: PurePosixPath
    revision: Commit | Index | None  # None: the working tree
    parents: tuple[str, ...]
    libraries: Contents

    @property
    def name(self) -> str:
        """As a sentence names the state."""
        if isinstance(self.revision, Commit):
            return self.revision.name
        return "the working tree" if self.revision is None else "the index"

    @property
    def commit(self) -> str:
        return self.revision.commit if isinstance(self.revision, Commit) else ""

    @property
    def place(self) -> str:
        """As a command line names the file there."""
        return f"{self.path}" if self.revision is None else self.revision.name_of(self.path)

    @property
    def world(self) -> World:
        if self.revision is None:
            return World(self.root / self.path)
        return RevisionWorld(self.revision, self.path)


def holders(
    digest: str, paths: Iterable[PurePosixPath], near: Path, *, on_disk: bool
) -> list[Holder]:
    """Every state that holds a file with this git hash at one of the paths from the root: the
    current commit first, then the working tree (where `on_disk`) and the index, then other commits
    that branches, tags, stashes or reflogs reach, newest first.

    Raises UnreadableError where git fails.
    """
    root = root_of(near)
    states = _commits(root)
    index, work_tree = find_index(0, root), partial(_hash_on_disk, root)
    found: list[Holder] = []
    for path in paths:
        stand = [digest == its for its in hashes(root, [(commit, path) for commit in states])]
        commits = [commit for commit, holds in zip(states, stand, strict=True) if holds]
        kept = contents(root, commits, path, lambda asked: hashes(root, asked))
        of_commits = [
            Holder(root, path, Commit(root, commit[:_SHORT], commit), states[commit], kept[commit])
            for commit in commits
        ]
        current = [one for one in of_commits[:1] if commits[0] == next(iter(states))]
        found += [
            *current,
            *(_in_hand(root, path, digest, None, work_tree) if on_disk else ()),
            *_in_hand(root, path, digest, index, index.hash_of),
            *of_commits[len(current) :],
        ]
    return found


def distinct(found: Iterable[Holder]) -> list[list[Holder]]:
    """The states by what the libraries are in them."""
    groups: dict[tuple[tuple[str, str | None], ...], list[Holder]] = {}
    for holder in found:
        key = tuple(sorted((f"{path}", digest) for path, digest in holder.libraries.items()))
        groups.setdefault(key, []).append(holder)
    return list(groups.values())


def _commits(root: Path) -> dict[str, tuple[str, ...]]:
    """Every commit with its parents, the current one first, then the newest."""
    reply = ask(root, "rev-list", "--all", "--reflog", "--topo-order", "--parents").decode()
    listed = (line.split() for line in reply.splitlines())
    known = {commit: tuple(parents) for commit, *parents in listed}
    try:
        here = ask(root, "rev-parse", "--verify", "--quiet", "HEAD").decode().strip()
    except UnreadableError:  # there is no commit yet
        return known
    return {here: known.get(here, ()), **known}


def _in_hand(
    root: Path,
    path: PurePosixPath,
    digest: str,
    revision: Index | None,
    hash_of: Callable[[PurePosixPath], str | None],
) -> list[Holder]:
    """The index or the working tree, where the file there is the one asked for."""

    def asked(files: Sequence[tuple[str, PurePosixPath]]) -> list[str | None]:
        return [hash_of(file) for _, file in files]

    if hash_of(path) != digest:
        return []
    return [Holder(root, path, revision, (), contents(root, [""], path, asked)[""])]


def _hash_on_disk(root: Path, path: PurePosixPath) -> str | None:
    if "\n" in f"{path}" or not (root / path).is_file():
        return None
    reply = ask(root, "hash-object", "--stdin-paths", given=os.fsencode(f"{path}\n"))
    return reply.decode().strip()
