"""Which side a fact is taken from: what only one side changed is that side's; what both changed
differently is a conflict."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum, auto

from hoggin.revise.merge.facts import Facts
from hoggin.revise.why.lines import Block, Path


class Choice(Enum):
    OURS = auto()
    THEIRS = auto()
    CONFLICT = auto()


@dataclass(frozen=True)
class Choices:
    """by_path: of every path that any of the three has. broken: blocks that one side removed and
    the other changed within."""

    base: Facts
    ours: Facts
    theirs: Facts
    by_path: Mapping[Path, Choice]
    broken: frozenset[Path]

    @property
    def conflicts(self) -> list[Path]:
        """Every conflict once: of a broken block the block alone."""
        return [
            path
            for path, choice in self.by_path.items()
            if (choice is Choice.CONFLICT or path in self.broken) and not self._within_broken(path)
        ]

    def conflict_below(self, path: Path) -> bool:
        """Whether there is a conflict about what is in a block."""
        return any(
            choice is Choice.CONFLICT and other[: len(path)] == path
            for other, choice in self.by_path.items()
        )

    def gone(self, path: Path) -> bool:
        """Whether they took it out, and we did not change it."""
        return self.by_path[path] is Choice.THEIRS and path not in self.theirs

    def left_to_a_route(self, path: Path) -> bool:
        """Whether they took out a product's block, all of it, whose product a route declares."""
        base, theirs = self.base.get(path), self.theirs.get(path)
        if base is None or base.of_route or theirs is None or not theirs.of_route:
            return False
        merged, depth = self.merged(), len(path)
        return not any(len(p) > depth and p[:depth] == path for p in merged)

    def taken_from_theirs(self, path: Path) -> bool:
        """Whether what is chosen is what they have, be it as ours."""
        ours, theirs = _words(path, self.ours, self.theirs)
        return self.by_path[path] is Choice.THEIRS or ours == theirs

    def _within_broken(self, path: Path) -> bool:
        return any(path[:depth] in self.broken for depth in range(1, len(path)))

    def merged(self) -> dict[Path, str]:
        """The words of every fact of the merged file, where conflicts are settled as ours."""
        found: dict[Path, str] = {}
        for path, choice in self.by_path.items():
            in_ours = path in self.broken or self._within_broken(path)
            side = self.theirs if choice is Choice.THEIRS and not in_ours else self.ours
            if path in side:
                found[path] = side[path].words
        return found


def choose(base: Facts, ours: Facts, theirs: Facts) -> Choices:
    sides = base, ours, theirs
    by_path = {path: _choice(*_words(path, *sides)) for path in {**ours, **theirs, **base}}
    broken = frozenset(
        path
        for path, fact in base.items()
        if isinstance(fact.line.node, Block)
        and (path in ours) != (path in theirs)
        and _below(path, base) != _below(path, ours if path in ours else theirs)
    )
    return Choices(base, ours, theirs, by_path, broken)


def _words(path: Path, *sides: Facts) -> list[str | None]:
    return [side[path].words if path in side else None for side in sides]


def _choice(base: str | None, ours: str | None, theirs: str | None) -> Choice:
    if ours == theirs or theirs == base:
        return Choice.OURS
    return Choice.THEIRS if ours == base else Choice.CONFLICT


def _below(path: Path, facts: Facts) -> dict[Path, str]:
    depth = len(path)
    return {other: fact.words for other, fact in facts.items() if other[:depth] == path}
