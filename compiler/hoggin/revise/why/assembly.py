"""Plants of many hybrids from few checks.

An element of a plant depends on only a few edits. It is taken from any checked hybrid with the same
choice of these edits, and plants are assembled from elements. The edits that an element depends on
are found from the hybrids of one edit, and of all but one. A dozen hybrids are also checked as a
whole. If one of them differs, every hybrid is checked.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping, Sequence
from itertools import islice

from hoggin.errors import HogginError
from hoggin.revise.why.elements import Element, Key, differing, elements, put_together, signatures
from hoggin.revise.why.hybrids import Hybrids, Refusal
from hoggin.schema.plant import Plant

_TRIALS = 12
_FITTING = 8  # elements' choices looked through for one that goes with the hybrid to be checked


class RefusedError(HogginError):
    """A hybrid that is needed is not a plant."""

    def __init__(self, choice: int, refusal: Refusal) -> None:
        super().__init__(str(refusal))
        self.choice, self.refusal = choice, refusal


class Assembly:
    """players: choices of edits that are made together or not at all."""

    def __init__(self, hybrids: Hybrids, base: int, players: Sequence[int]) -> None:
        self._hybrids = hybrids
        self._base = base
        self._players = players
        self._known: dict[tuple[Key, int], Element | None] = {}
        self._edits_of = self._find_edits_of()

    def plants(self, choices: Iterable[int]) -> dict[int, Plant]:
        """The plant of each choice of players' edits. Raises RefusedError."""
        wanted = list(choices)
        try:
            if self._holds():
                return self._assembled(wanted)
        except KeyError:  # of a thing that comes only where several edits are made
            pass
        return {choice: self._checked(choice) for choice in wanted}

    def _assembled(self, choices: Sequence[int]) -> dict[int, Plant]:
        """Plants put together. Raises KeyError where an element is missing."""
        self._read_off(choices)
        return {choice: self._put_together(choice) for choice in choices}

    def _checked(self, choice: int) -> Plant:
        found = self._hybrids.plant(choice | self._base)
        if isinstance(found, Refusal):
            raise RefusedError(choice, found)
        return found

    def _find_edits_of(self) -> dict[Key, int]:
        everything = sum(self._players)
        before, after = self._checked(0), self._checked(everything)
        edits_of = dict.fromkeys((*elements(before), *elements(after)), 0)
        for player in self._players:
            first, last = self._checked(player), self._checked(everything ^ player)
            for key in differing(before, first) | differing(last, after):
                edits_of[key] = edits_of.get(key, 0) | player
            for key in (*elements(first), *elements(last)):
                edits_of.setdefault(key, 0)
        return edits_of

    def _holds(self) -> bool:
        """Whether hybrids put together are those checked as a whole, by trial."""
        chance = random.Random(0)
        everything = sum(self._players)
        trials = {everything, 0}
        for _ in range(min(_TRIALS, 1 << len(self._players))):
            trials.add(sum(player for player in self._players if chance.random() < 0.5))
        assembled = self._assembled(sorted(trials))
        return all(
            signatures(plant) == signatures(self._checked(choice))
            for choice, plant in assembled.items()
        )

    def _read_off(self, choices: Iterable[int]) -> None:
        """Check as few hybrids as give every element that the choices need."""
        needed: dict[Key, dict[int, None]] = {key: {} for key in self._edits_of}
        for choice in choices:
            for key, edits in self._edits_of.items():
                if (key, choice & edits) not in self._known:
                    needed[key][choice & edits] = None
        hardest = sorted(needed, key=lambda key: -len(needed[key]))
        for key in hardest:
            while needed[key]:
                self._note(self._covering(key, needed), needed)

    def _covering(self, key: Key, needed: Mapping[Key, Mapping[int, None]]) -> int:
        """A hybrid that has what is needed next of one element, and of others what goes with it."""
        choice, fixed = next(iter(needed[key])), self._edits_of[key]
        for other, edits in self._edits_of.items():
            for own in islice(needed[other], _FITTING):
                if not (choice ^ own) & edits & fixed:
                    choice |= own
                    fixed |= edits
                    break
        return choice

    def _note(self, choice: int, needed: Mapping[Key, dict[int, None]]) -> None:
        found = elements(self._checked(choice))
        for key, edits in self._edits_of.items():
            self._known[key, choice & edits] = found.get(key)
            needed[key].pop(choice & edits, None)

    def _put_together(self, choice: int) -> Plant:
        return put_together(
            {key: self._known[key, choice & edits] for key, edits in self._edits_of.items()}
        )
