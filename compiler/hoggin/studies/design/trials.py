"""Every case that was balanced in the search of one alternative, and the order of their merit."""

from __future__ import annotations

import hashlib
import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.result import Array
from hoggin.studies.design.problem import Problem
from hoggin.studies.runner.keeping import StudyFile
from hoggin.studies.runner.progress import Progress
from hoggin.studies.runner.running import batch_cases, batches, run
from hoggin.studies.runner.spread import Here, Spread, Work

_UNMET = 1e6  # added to the merit of cases that miss a requirement, to rank below all others
_UNBALANCED = 1e3  # shortfall of what has no balance or no value
_TOUCHING = 1e-9  # of a range: rounding error
_WORST = 1e2  # a shortfall is counted no further


@dataclass(frozen=True)
class Goal:
    """The goal of a search.

    weights: of the costs (A,). sides: which of them count (S,). relaxed: by how much, over their
    scales (S,). ceilings: upper limits of the costs (A,), infinite without one. lacking: sides (S,)
    whose worst shortfall is minimised instead of the costs. kept_inside: by how much, over their
    sizes, cases stay inside the ranges that numbers are held in, (2 * held,); None for not at all.
    """

    weights: Array
    sides: NDArray[np.bool_]
    relaxed: Array
    ceilings: Array
    lacking: NDArray[np.bool_] | None = None
    kept_inside: Array | None = None


@dataclass(frozen=True)
class Scored:
    """Cases by row: values (B, n), costs (B, A), margins (B, S) over their scales, and by how much
    numbers are outside their ranges (B,)."""

    values: Array
    costs: Array
    margins: Array
    excess: Array

    @staticmethod
    def joined(parts: Sequence[Scored]) -> Scored:
        return Scored(
            *(
                np.concatenate([getattr(part, name) for part in parts])
                for name in ("values", "costs", "margins", "excess")
            )
        )

    def row(self, place: int) -> Scored:
        at = slice(place, place + 1)
        return Scored(self.values[at], self.costs[at], self.margins[at], self.excess[at])


class _Counted(Progress):
    """Reports the size of each batch: how many there will be is not known in a search."""

    def __init__(self, watch: Callable[[int], None] | None) -> None:
        super().__init__(0, io.StringIO(), terminal=False)
        self._watch = watch

    def step(self, cases: int) -> None:
        if self._watch is not None:
            self._watch(cases)


@dataclass
class Trials:
    """Balances cases of one alternative and keeps them all."""

    problem: Problem
    spread: Spread = field(default_factory=Here)
    watch: Callable[[int], None] | None = None  # receives the size of every batch
    kept: StudyFile | None = None  # what was balanced before is read from it
    name: str = ""  # of the alternative, there
    parts: list[Scored] = field(default_factory=list)
    balances: int = 0

    def __post_init__(self) -> None:
        self._slacks = np.array([s.slack / s.scale for s in self.problem.sides])
        self._work = Work(self.problem.plant, self.problem.freedom, self.problem.expressions)
        self._each = min(128, batch_cases(self.problem.plant))

    def of(self, values: Array) -> Scored:
        """Score cases (B, n); those outside what the plant can be are not balanced."""
        problem = self.problem
        excess = problem.excess(values)
        read = np.full((len(problem.expressions), len(values)), np.nan)
        stands = excess == 0
        if stands.any():
            read[:, stands] = self._read(values[stands])
        found = Scored(values, problem.costs(read), problem.margins(read), excess)
        self.parts.append(found)
        return found

    def _read(self, values: Array) -> Array:
        self.balances += len(values)
        if not self.problem.unknowns:
            part = self._work.done({})
            return np.repeat(part.values, len(values), axis=1)
        wanted = batches(self.problem.batch(values), len(values), self._each)
        # One batch, as of a population, is balanced here: sending it elsewhere would take longer.
        spread = self.spread if len(wanted) > 1 else Here()
        # A search asks for the same cases in the same order again: their values are their name.
        name = f"{self.name} {hashlib.sha256(values.tobytes()).hexdigest()} "
        part = run(self._work, wanted, spread, _Counted(self.watch), self.kept, name)
        return part.values

    @property
    def all(self) -> Scored:
        if len(self.parts) > 1:
            self.parts = [Scored.joined(self.parts)]
        return self.parts[0]

    # -- judging -----------------------------------------------------------------------------------

    def goal(self, weights: Sequence[float] | Array, ceilings: Array | None = None) -> Goal:
        """All requirements, and these weights of the costs."""
        aims, count = len(self.problem.aims), len(self.problem.sides)
        free = np.full(aims, np.inf)
        return Goal(
            np.asarray(weights, dtype=float).reshape(aims),
            np.ones(count, dtype=bool),
            np.zeros(count),
            free if ceilings is None else ceilings,
        )

    def shortfall(self, scored: Scored, goal: Goal) -> Array:
        """How far cases are from meeting a goal's requirements, (B,); 0 where they do."""
        margins = (scored.margins + goal.relaxed + self._slacks)[:, goal.sides]
        missed = np.where(np.isfinite(margins), np.clip(-margins, 0.0, _WORST), _UNBALANCED)
        bounded = np.isfinite(goal.ceilings)
        over = scored.costs[:, bounded] - goal.ceilings[bounded]
        sizes = np.maximum(np.abs(goal.ceilings[bounded]), 1e-12)
        late = np.where(np.isfinite(over), np.clip(over / sizes - 1e-9, 0.0, _WORST), _UNBALANCED)
        lost = ~np.isfinite(self.cost(scored, goal))
        outside = np.where(scored.excess > 0, _UNBALANCED + scored.excess, 0.0)
        if goal.kept_inside is not None:
            room = self.problem.held_room(scored.values) - goal.kept_inside
            outside = outside + np.clip(-room - _TOUCHING, 0.0, _WORST).sum(axis=1)
        found: Array = missed.sum(axis=1) + late.sum(axis=1) + _UNBALANCED * lost + outside
        return found

    def cost(self, scored: Scored, goal: Goal) -> Array:
        """The quantity that a goal minimises, (B,); infinite without a value."""
        if goal.lacking is not None:
            worst: Array = np.max(-scored.margins[:, goal.lacking], axis=1)
            return worst
        weighed = goal.weights != 0
        weights: Array = scored.costs[:, weighed] @ goal.weights[weighed]
        return weights

    def merit(self, scored: Scored, goal: Goal) -> Array:
        """Merit, smaller is better, (B,): the weighted costs if all requirements are met; otherwise
        above all those, by the shortfall (the rule of Deb 2000 for constraints; from memory)."""
        missed = self.shortfall(scored, goal)
        cost = self.cost(scored, goal)
        squashed = np.clip(cost, -0.99 * _UNMET, 0.99 * _UNMET)
        return np.where(missed > 0, _UNMET * (1 + missed), squashed)

    def meets(self, scored: Scored, goal: Goal) -> NDArray[np.bool_]:
        found: NDArray[np.bool_] = self.shortfall(scored, goal) == 0
        return found

    def best(self, goal: Goal) -> Scored:
        """The best case so far."""
        known = self.all
        return known.row(int(np.argmin(self.merit(known, goal))))

    def least(self, goal: Goal) -> float:
        """The merit of the best case."""
        return float(self.merit(self.best(goal), goal)[0])

    def met(self, goal: Goal) -> bool:
        """Whether the best case meets all that a goal asks for."""
        return bool(self.meets(self.best(goal), goal)[0])
