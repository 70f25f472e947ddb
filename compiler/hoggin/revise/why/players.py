"""Edits as players of a game: those that can't be made without one another are one player.

A choice of edits is written as a number with a bit for each, as in `hybrids`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field


@dataclass
class Players:
    """Who plays.

    sets: choices that share no edit. base: the edits that are always made, which are in no set.
    reasons: why the edits of a set are not separated.
    """

    sets: list[int]
    base: int = 0
    reasons: dict[int, list[str]] = field(default_factory=dict)

    @property
    def all(self) -> int:
        return sum(self.sets)

    def choice(self, players: int) -> int:
        """The edits of a set of players."""
        return sum(edits for i, edits in enumerate(self.sets) if players >> i & 1)

    def join(self, refused: int, reason: str, possible: Callable[[int], bool]) -> None:
        """Join what can't be made in this choice of edits with what it needs.

        Of the choice as little as is still refused is kept; of all edits, as little as holds it
        and is a plant. These go together.
        """
        core, whole = refused, self.all
        for one in self.sets:
            if core & one and core != one and not possible(core & ~one):
                core &= ~one
        for one in reversed(self.sets):
            if not core & one and possible(whole & ~one):
                whole &= ~one
        gone = [one for one in self.sets if one & whole]
        if len(gone) < 2:  # refused and not, by a hair: what can't be settled can't be parted
            whole, gone = self.all, list(self.sets)
        reasons = [reason for one in gone for reason in self.reasons.pop(one, [])]
        self.sets = [whole if one == gone[0] else one for one in self.sets if one not in gone[1:]]
        self.reasons[whole] = list(dict.fromkeys([*reasons, reason]))

    def set_apart(self, idle: Iterable[int]) -> None:
        """Make some edits for good."""
        for one in idle:
            self.sets.remove(one)
            self.base |= one
