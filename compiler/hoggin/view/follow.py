"""The files that a reading asked for, and whether any of them has changed since."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from hoggin.world import UnreadableError, World, read_bytes

PATIENCE = 5  # looks for which a file may be away: many editors move a new one into its place
FRESH_S = 2.0  # a file changed this recently may change again within one tick of its clock


class FollowedWorld(World):
    """A world that remembers every file it was asked for, including missing ones: a library may be
    written after the line that uses it."""

    def __init__(self, main: Path) -> None:
        super().__init__(main)
        self.asked: dict[Path, Mark] = {main: mark(main)}  # `main` may be a link

    def _bytes(self, path: Path) -> bytes:
        self.asked[path] = mark(path)  # before it is read: a change from then on is seen
        try:
            return super()._bytes(path)
        except UnreadableError:
            self.asked[path] = Mark()  # so it counts as changed as soon as it can be read
            raise


@dataclass(frozen=True, slots=True)
class Mark:
    """What a file was at one moment; all None for one that could not be read."""

    changed_ns: int | None = None
    size: int | None = None
    place: int | None = None  # its inode: editors often put a new file in the old one's place
    digest: str | None = None


Marks = Mapping[Path, Mark]


def marks(known: Marks) -> dict[Path, Mark]:
    """The current state of the files of `known`."""
    return {path: mark(path, before) for path, before in known.items()}


def mark(path: Path, known: Mark | None = None) -> Mark:
    """What a file is now. The text of one that looks as `known` has it is read again only while
    its change is so fresh that a second one might not show in its time."""
    try:
        stat = path.stat()
    except (OSError, ValueError):
        return Mark()
    look = Mark(stat.st_mtime_ns, stat.st_size, stat.st_ino)
    fresh = abs(time.time() - stat.st_mtime) < FRESH_S
    if known is not None and replace(known, digest=None) == look and not fresh:
        return known
    try:
        return replace(look, digest=hashlib.sha256(read_bytes(path)).hexdigest())
    except UnreadableError:
        return look


def same_text(now: Marks, before: Marks) -> bool:
    """Whether the texts of all files are unchanged, whatever their times."""
    return {p: m.digest for p, m in now.items()} == {p: m.digest for p, m in before.items()}


class Watch:
    """Looks at files again and again. A change counts when two looks in a row see the same, so that
    a file is not read while it is being written."""

    def __init__(self, seen: Marks) -> None:
        self._seen = self._before = seen
        self._away = 0

    def changed(self) -> bool:
        """One look: whether a text has changed."""
        now = marks(self._seen)
        settled, self._before = now == self._before, now
        if same_text(now, self._seen):
            self._seen, self._away = now, 0
            return False
        if not settled:
            return False
        gone = any(
            mark.size is None and self._seen[path].size is not None for path, mark in now.items()
        )
        self._away = self._away + 1 if gone else 0
        return not gone or self._away > PATIENCE
