"""Sources as they are in git's index: what is staged, or the sides of a merge in hand."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from hoggin.revisions.git import ask, blob, root_of
from hoggin.world import UnreadableError

_SIDES = {0: "the index", 1: "the base of the merge", 2: "our side of the merge"}
_SIDES[3] = "their side of the merge"
_LINK = "120000"
_MOST_LINKS = 40


@dataclass(frozen=True, slots=True)
class _Entry:
    mode: str
    digest: str


@dataclass(frozen=True, slots=True)
class Index:
    """A stage of the index: 0 what is staged; of a merge, 1 the base, 2 ours, 3 theirs.

    A file that is merged already has stage 0 only, which then is used for every side.
    """

    root: Path
    stage: int
    entries: Mapping[PurePosixPath, Mapping[int, _Entry]]

    def name_of(self, path: PurePosixPath) -> str:
        return f":{self.stage}:{path}" if self.stage else f":{path}"

    def content(self, path: PurePosixPath) -> bytes:
        return blob(self.root, self._entry(self._followed(path)).digest, _SIDES[self.stage])

    def hash_of(self, path: PurePosixPath) -> str | None:
        """The git hash of a file's content; None where there is none."""
        try:
            return self._entry(self._followed(path)).digest
        except UnreadableError:
            return None

    def plants(self, folder: PurePosixPath) -> list[PurePosixPath]:
        return sorted(
            path
            for path in self.entries
            if path.suffix == ".hog" and path.is_relative_to(folder) and self._at(path)
        )

    def is_folder(self, path: PurePosixPath) -> bool:
        return any(path in inner.parents for inner in self.entries)

    def _at(self, path: PurePosixPath) -> _Entry | None:
        stages = self.entries.get(path, {})
        return stages.get(self.stage) or stages.get(0)

    def _entry(self, path: PurePosixPath) -> _Entry:
        found = self._at(path)
        if found is not None:
            return found
        if self.is_folder(path):
            raise UnreadableError(f"in {_SIDES[self.stage]} it is not a file")
        if path in self.entries and self.stage == 0:
            raise UnreadableError(
                f"it is not merged yet: name a side, `:2:{path}` for ours, `:3:{path}` for theirs"
            )
        raise UnreadableError(f"there is no such file in {_SIDES[self.stage]}")

    def _followed(self, path: PurePosixPath) -> PurePosixPath:
        """The path with links within the index followed, as git itself does in a commit only."""
        for _ in range(_MOST_LINKS):
            steps = (*reversed(path.parents), path)
            link = next((p for p in steps if (e := self._at(p)) and e.mode == _LINK), None)
            if link is None:
                return path
            target = os.fsdecode(blob(self.root, self._entry(link).digest, _SIDES[self.stage]))
            whole = os.path.normpath(link.parent / target / path.relative_to(link))
            if whole.startswith(("..", "/")):
                place = _SIDES[self.stage]
                raise UnreadableError(f"in {place} it is a link that leads out of the repository")
            path = PurePosixPath(whole)
        raise UnreadableError(f"there is no such file in {_SIDES[self.stage]}")


def find_index(stage: int, near: Path) -> Index:
    """A stage of the index of the repository that `near` lies in. Raises UnreadableError."""
    root = root_of(near)
    entries: dict[PurePosixPath, dict[int, _Entry]] = {}
    for line in filter(None, ask(root, "ls-files", "--stage", "-z").split(b"\0")):
        head, _, path = line.partition(b"\t")
        mode, digest, side = head.decode().split()
        entries.setdefault(PurePosixPath(os.fsdecode(path)), {})[int(side)] = _Entry(mode, digest)
    return Index(root, stage, entries)
