"""Requirements that no settings meet together: the smallest set of them in conflict.

A case that meets some requirements proves that they can be met together. That they can't is only as
certain as the search: it is proven if all settings are choices and every combination was balanced.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from hoggin.schema.plant import Requirement
from hoggin.studies.design.document import ConflictPart, FoundConflict
from hoggin.studies.design.search import Effort, all_choices, search
from hoggin.studies.design.trials import Goal, Scored, Trials

MOST_SEARCHES = 40
Key = tuple[str, int, int, str]
"""A requirement by where it is and its text: options of a `choose` may have their own."""


class Possibility:
    """What is known of which sets of requirements can be met."""

    def __init__(self, alternatives: Sequence[Trials], effort: Effort) -> None:
        self._alternatives, self._effort = alternatives, effort
        self.searches = 0

    @cached_property
    def requirements(self) -> dict[Key, Requirement]:
        """Every requirement of any alternative."""
        problems = [trials.problem for trials in self._alternatives]
        return {_key(one): one for problem in problems for one in problem.requirements}

    @cached_property
    def keys(self) -> tuple[Key, ...]:
        return tuple(self.requirements)

    @property
    def proven(self) -> bool:
        return all(all_choices(t.problem) is not None for t in self._alternatives)

    def known(self, wanted: tuple[Key, ...]) -> bool:
        """Whether a case that has been balanced meets them."""
        return any(t.meets(t.all, only(t, wanted)).any() for t in self._alternatives)

    def found(self, wanted: tuple[Key, ...]) -> bool:
        """Whether a search finds one that does."""
        if self.known(wanted):
            return True
        if self.proven:
            return False
        self.searches += 1
        for trials in self._alternatives:
            search(trials, only(trials, wanted), self._effort, enough=True)
            if self.known(wanted):
                return True
        return False


def _key(requirement: Requirement) -> Key:
    place = requirement.place
    return place.file, place.line, place.column, requirement.text


def only(trials: Trials, wanted: tuple[Key, ...]) -> Goal:
    """A goal of some requirements and nothing else."""
    goal = trials.goal(np.zeros(len(trials.problem.aims)))
    return replace(goal, sides=_sides(trials, wanted))


def _sides(trials: Trials, wanted: tuple[Key, ...]) -> NDArray[np.bool_]:
    keys = [_key(requirement) for requirement in trials.problem.requirements]
    return np.array([keys[s.requirement] in wanted for s in trials.problem.sides], dtype=bool)


def conflict(alternatives: Sequence[Trials], effort: Effort) -> FoundConflict:
    """The smallest set in conflict of a plant whose requirements were not met together.

    Sets are tried in order of size, and only those that no balanced case meets are searched. So the
    first that can't be met is a smallest one. If that takes too many searches, a deletion filter
    gives a set that contains no smaller one in conflict (Chinneck & Dravnieks 1991; from memory).
    """
    possible = Possibility(alternatives, effort)
    kept = _smallest(possible)
    smallest = kept is not None
    if kept is None:
        kept = _filtered(possible)
    stated = possible.requirements
    parts = tuple(
        ConflictPart(
            text=stated[key].text,
            unit=stated[key].unit,
            needed=_needed(alternatives, effort, key, possible.keys),
        )
        for key in kept
    )
    return FoundConflict(parts=parts, smallest=smallest, proven=possible.proven)


def _smallest(possible: Possibility) -> tuple[Key, ...] | None:
    for size in range(1, len(possible.keys)):
        for wanted in combinations(possible.keys, size):
            if possible.known(wanted):
                continue
            if possible.searches >= MOST_SEARCHES:
                return None
            if not possible.found(wanted):
                return wanted
    return possible.keys


def _filtered(possible: Possibility) -> tuple[Key, ...]:
    kept = possible.keys
    for key in possible.keys:
        without = tuple(k for k in kept if k != key)
        if not possible.found(without):
            kept = without
    return kept


def _needed(
    alternatives: Sequence[Trials], effort: Effort, key: Key, keys: tuple[Key, ...]
) -> float | None:
    """The least relaxation of a requirement with which all requirements can be met."""
    found = []
    for trials in alternatives:
        own = _sides(trials, (key,))
        if not own.any():
            continue
        others = only(trials, tuple(k for k in keys if k != key))
        goal = replace(others, lacking=own)
        best = search(trials, goal, effort)
        short = _short(trials, own, best)
        if trials.meets(best, goal)[0] and np.isfinite(short):
            found.append(short)
    return min(found) if found else None


def _short(trials: Trials, own: NDArray[np.bool_], case: Scored) -> float:
    """What a case lacks of a requirement, in its unit."""
    return max(
        -float(case.margins[0, place]) * side.scale / side.unit_size
        for place, side in enumerate(trials.problem.sides)
        if own[place]
    )
