"""The search: scattered starts, a population, then a polish of the best.

A population (scipy's differential evolution, with each generation balanced in one batch) searches
all ranges and choices. Sequential quadratic programming (scipy's SLSQP), with gradients by central
differences in one batch each, then follows the requirements to the optimum. If all settings are
choices and there are few combinations, all are balanced and no search is needed.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.result import Array
from hoggin.studies.design.problem import Problem
from hoggin.studies.design.trials import Goal, Scored, Trials

MOST_CHOICES = 4096  # if all settings are choices: all combinations are balanced
_STALL = 8  # generations without a better one
_STEP = 1e-3  # of a range, for differences
_INSIDE = 1e-7  # of a side's scale: polished cases stay this far inside
_NEAR = 0.08  # of a range: nearer cases are in the same region
_FLIPS = 4  # rounds of other choices beside a polished case


@dataclass(frozen=True)
class Effort:
    """starts: cases scattered over each alternative; the best become the population.
    polished: how many of the best, in different regions, are followed to their optimum."""

    starts: int = 64
    generations: int = 40
    polished: int = 3
    seed: int = 0


def all_choices(problem: Problem) -> Array | None:
    """Every combination, if all settings are choices; None if there are too many, or a range."""
    lists = [unknown.numbers for unknown in problem.unknowns]
    count = float(np.prod([len(numbers) for numbers in lists]))
    if not all(unknown.is_choice for unknown in problem.unknowns) or count > MOST_CHOICES:
        return None
    return np.array(list(product(*lists)), dtype=float).reshape(int(count), len(lists))


def scatter(trials: Trials, effort: Effort) -> None:
    """Balance the start, and cases scattered over the whole alternative."""
    problem = trials.problem
    every = all_choices(problem)
    if every is not None:
        trials.of(every)
        return
    from scipy.stats import qmc

    sobol = qmc.Sobol(len(problem.unknowns), seed=effort.seed)
    shares = sobol.random(1 << max(2, (effort.starts - 1).bit_length()))[: effort.starts]
    trials.of(np.concatenate([problem.start[None], from_shares(problem, shares)]))


def search(trials: Trials, goal: Goal, effort: Effort, *, enough: bool = False) -> Scored:
    """The best case that can be found for a goal. `enough`: any that meets it will do."""
    if all_choices(trials.problem) is None and not (enough and trials.met(goal)):
        evolve(trials, goal, effort, enough=enough)
        if not (enough and trials.met(goal)):
            for start in hills(trials, goal, effort.polished):
                polish(trials, goal, start)
            beside(trials, goal)
    return trials.best(goal)


# -- the population --------------------------------------------------------------------------------


def evolve(trials: Trials, goal: Goal, effort: Effort, *, enough: bool = False) -> None:
    """Evolve the best known cases: differential evolution (Storn & Price 1997; from memory)."""
    from scipy.optimize import differential_evolution

    problem = trials.problem
    count = len(problem.unknowns)
    known = trials.all
    order = np.argsort(trials.merit(known, goal), kind="stable")
    members = max(5, min(len(order), max(20, 6 * count)))
    population = _shares(problem, known.values[order[:members]])
    while len(population) < 5:
        population = np.concatenate([population, population])
    merits: list[float] = []

    def judged(shares: Array, /) -> Array:
        columns = shares.reshape(count, -1).T
        return trials.merit(trials.of(from_shares(problem, columns)), goal)

    def ended(intermediate_result: Any) -> bool:
        merits.append(float(intermediate_result.fun))
        if enough and trials.met(goal):
            return True
        if len(merits) <= _STALL:
            return False
        gained = merits[-1 - _STALL] - merits[-1]
        return bool(gained <= 1e-6 * max(abs(merits[-1]), 1e-9))

    evolution: Any = differential_evolution
    evolution(
        judged,
        [(0.0, 1.0)] * count,
        init=np.clip(population, 0.0, 1.0),
        maxiter=effort.generations,
        mutation=(0.4, 0.9),
        recombination=0.8,
        tol=0.0,
        rng=np.random.default_rng(effort.seed),
        polish=False,
        vectorized=True,
        updating="deferred",
        callback=ended,
    )


def from_shares(problem: Problem, shares: Array) -> Array:
    """Values for shares (B, n) from 0 to 1 of each range; of a choice, the one the share is on."""
    values = problem.low + shares * (problem.high - problem.low)
    for column, unknown in enumerate(problem.unknowns):
        if unknown.is_choice:
            many = len(unknown.numbers)
            place = np.minimum((shares[:, column] * many).astype(int), many - 1)
            values[:, column] = np.array(unknown.numbers)[place]
    return np.clip(values, problem.low, problem.high)


def _shares(problem: Problem, values: Array) -> Array:
    shares = (values - problem.low) / (problem.high - problem.low)
    for column, unknown in enumerate(problem.unknowns):
        if unknown.is_choice:
            place = np.searchsorted(unknown.numbers, values[:, column])
            shares[:, column] = (place + 0.5) / len(unknown.numbers)
    return shares


def hills(trials: Trials, goal: Goal, most: int) -> list[Array]:
    """The best known cases that differ in a choice, or are well apart."""
    problem, known = trials.problem, trials.all
    apart = np.where(problem.is_choice, 1e-9, _NEAR)
    found: list[Array] = []
    for place in np.argsort(trials.merit(known, goal), kind="stable"):
        value = known.values[place]
        far = [(np.abs(value - o) / (problem.high - problem.low) > apart).any() for o in found]
        if all(far):
            found.append(value)
        if len(found) == most:
            break
    return found


# -- the polish ------------------------------------------------------------------------------------


def polish(trials: Trials, goal: Goal, start: Array) -> Scored:
    """Follow a case to the optimum of its ranges, with its choices held: sequential quadratic
    programming (Kraft 1988, as in scipy). All cases on the way are kept as well."""
    from scipy.optimize import minimize

    problem = trials.problem
    moved = np.flatnonzero(~problem.is_choice)
    if not len(moved):
        return trials.of(start[None])
    local = Local(trials, goal, start, moved)
    low, high = problem.low[moved], problem.high[moved]
    begin = (start[moved] - low) / (high - low)
    size = max(abs(local.cost(begin)), 1e-9)
    minimize(  # type: ignore[call-overload]
        lambda x: local.cost(x) / size,
        np.clip(begin, 0.0, 1.0),
        jac=lambda x: local.slopes(x)[0] / size,
        bounds=[(0.0, 1.0)] * len(moved),
        constraints=[
            {
                "type": "ineq",
                "fun": lambda x: local.room(x) - _INSIDE,
                "jac": lambda x: local.slopes(x)[1],
            }
        ]
        if len(local.room(begin))
        else [],
        method="SLSQP",
        options={"maxiter": 30, "ftol": 1e-8},
    )
    return trials.best(goal)


class Local:
    """A goal's cost, room and slopes over the ranges alone, in shares of them."""

    def __init__(self, trials: Trials, goal: Goal, start: Array, moved: NDArray[np.intp]) -> None:
        self._trials, self._goal, self._moved = trials, goal, moved
        self._start = start
        self._values: dict[bytes, tuple[float, Array]] = {}
        self._slopes: dict[bytes, tuple[Array, Array]] = {}

    def cost(self, shares: Array) -> float:
        return self._value(shares)[0]

    def room(self, shares: Array) -> Array:
        """Margins of the goal's sides over their scales, what its ceilings leave, and the ranges
        that numbers are held in."""
        return self._value(shares)[1]

    def slopes(self, shares: Array) -> tuple[Array, Array]:
        """Of the cost (n,) and of the room (c, n): central differences, all in one batch."""
        shares = np.clip(shares, 0.0, 1.0)
        key = shares.tobytes()
        if key not in self._slopes:
            up, down = np.minimum(shares + _STEP, 1.0), np.maximum(shares - _STEP, 0.0)
            count = len(shares)
            points = np.tile(shares, (2 * count, 1))
            axes = np.arange(count)
            points[axes, axes], points[count + axes, axes] = up, down
            costs, rooms, stands = self._judged(points)
            # Where a case on one side is not valid, the difference is to the middle.
            cost, room = self._value(shares)
            costs = np.where(stands, costs, cost)
            rooms = np.where(stands[:, None], rooms, room)
            wide = np.where(stands[:count], up, shares) - np.where(stands[count:], down, shares)
            moved = wide > 0
            slope, slopes = np.zeros(count), np.zeros((len(room), count))
            slope[moved] = (costs[:count] - costs[count:])[moved] / wide[moved]
            slopes[:, moved] = ((rooms[:count] - rooms[count:])[moved] / wide[moved, None]).T
            self._slopes[key] = slope, slopes
        return self._slopes[key]

    def _value(self, shares: Array) -> tuple[float, Array]:
        shares = np.clip(shares, 0.0, 1.0)
        key = shares.tobytes()
        if key not in self._values:
            costs, rooms, _ = self._judged(shares[None])
            self._values[key] = float(costs[0]), rooms[0]
        return self._values[key]

    def _judged(self, shares: Array) -> tuple[Array, Array, NDArray[np.bool_]]:
        """Costs, room, and which cases are valid: within what the plant can be, and balanced."""
        problem, goal = self._trials.problem, self._goal
        low, high = problem.low[self._moved], problem.high[self._moved]
        values = np.tile(self._start, (len(shares), 1))
        values[:, self._moved] = low + shares * (high - low)
        scored = self._trials.of(values)
        costs = self._trials.cost(scored, goal)
        margins = (scored.margins + goal.relaxed)[:, goal.sides]
        bounded = np.isfinite(goal.ceilings)
        sizes = np.maximum(np.abs(goal.ceilings[bounded]), 1e-12)
        left = (goal.ceilings[bounded] - scored.costs[:, bounded]) / sizes
        held = problem.held_room(values)
        if goal.kept_inside is not None:
            held = held - goal.kept_inside
        rooms = np.concatenate([margins, left, held], axis=1)
        stands = (scored.excess == 0) & np.isfinite(costs) & np.isfinite(rooms).all(axis=1)
        return _tamed(costs), _tamed(rooms), stands


def _tamed(values: Array) -> Array:
    """Infinite values as large ones, so that differences can be computed."""
    return np.nan_to_num(values, nan=1e3, posinf=1e3, neginf=-1e3)


def beside(trials: Trials, goal: Goal) -> None:
    """Try every other choice of one setting of the best case, and polish promising ones, until none
    is better."""
    problem = trials.problem
    if not problem.is_choice.any() or problem.is_choice.all():
        return
    for _ in range(_FLIPS):
        before = trials.least(goal)
        flips = _flips(problem, trials.best(goal).values[0])
        merits = trials.merit(trials.of(flips), goal)
        polish(trials, goal, flips[np.argmin(merits)])
        if not trials.least(goal) < before - 1e-9 * max(abs(before), 1.0):
            return


def _flips(problem: Problem, value: Array) -> Array:
    others = [
        (column, number)
        for column, unknown in enumerate(problem.unknowns)
        for number in unknown.numbers
        if unknown.is_choice and number != value[column]
    ]
    found = np.tile(value, (len(others), 1))
    for row, (column, number) in enumerate(others):
        found[row, column] = number
    return found
