"""Rounds found values to steps that can be set: the best such values that meet the requirements.

Steps are common practice, no source: 0.5 mm of a setting or aperture within a range, 5 rpm, half a
per cent of a share, and a hundredth of the range or less for the rest.
"""

from __future__ import annotations

import math
from itertools import combinations, product

import numpy as np

from hoggin.balance.result import Array
from hoggin.studies.design.problem import Problem, Unknown
from hoggin.studies.design.trials import Goal, Trials

_STEPS = {
    "mm": 0.5,
    "cm": 0.05,
    "m": 0.05,
    "in": 0.02,
    "rpm": 5.0,
    "%": 0.5,
    "t/h": 1.0,
    "stph": 1.0,
}
_LEAST_STEPS = 10  # in a range: a narrower one is set finer
_MOST_CORNERS = 256
_ROUNDS = 12


def step_of(unknown: Unknown) -> float:
    """What it can be set by, in SI units."""
    unit = unknown.unit
    span = (unknown.numbers[-1] - unknown.numbers[0]) / unit.size
    step = _STEPS.get(unit.name, math.inf)
    if step * _LEAST_STEPS > span:
        decade: float = 10.0 ** math.floor(math.log10(span / _LEAST_STEPS))
        step = next(s * decade for s in (5.0, 2.0, 1.0) if s * decade * _LEAST_STEPS <= span)
    return step * unit.size


def text_of(unknown: Unknown, value: float) -> str:
    """A value as it is in a plant: `14.5 mm`."""
    unit = unknown.unit
    number = f"{value / unit.size:.10g}"
    if "e" in number:
        number = f"{value / unit.size:.12f}".rstrip("0").rstrip(".")
    return unit.with_number(number)


def candidates(trials: Trials, goal: Goal, best: Array) -> list[Array]:
    """Cases near the optimum that can be set and meet the goal, the best first. If there are none,
    steps are halved, up to three times."""
    problem = trials.problem
    if problem.is_choice.all():  # nothing to round: every case known
        known = trials.all
        merits, met = trials.merit(known, goal), trials.meets(known, goal)
        away = (known.values != best).any(axis=1)  # a point of a front that is requested is itself
        return [known.values[n] for n in np.lexsort((merits, away)) if met[n]]
    steps = np.array([math.inf if u.is_choice else step_of(u) for u in problem.unknowns])
    for _ in range(4):
        found = _candidates(trials, goal, best, steps)
        if found:
            return found
        steps = steps / 2
    return []


def _candidates(trials: Trials, goal: Goal, best: Array, steps: Array) -> list[Array]:
    problem = trials.problem
    known: dict[bytes, tuple[float, bool, Array]] = {}

    def judge(values: Array) -> None:
        new = np.array([v for v in np.unique(values, axis=0) if v.tobytes() not in known])
        if not len(new):
            return
        scored = trials.of(new)
        merits, met = trials.merit(scored, goal), trials.meets(scored, goal)
        for value, merit, meets in zip(new, merits, met, strict=True):
            known[value.tobytes()] = float(merit), bool(meets), value

    judge(_corners(problem, best, steps))
    for _ in range(_ROUNDS):
        leader = min(known.values(), key=lambda one: one[0])
        judge(_neighbours(problem, leader[2], steps))
        if min(known.values(), key=lambda one: one[0])[0] >= leader[0]:
            break
    met = sorted((one for one in known.values() if one[1]), key=lambda one: one[0])
    return [value for _, _, value in met]


def _corners(problem: Problem, best: Array, steps: Array) -> Array:
    """The values that can be set on either side of each, in every combination if those are few."""
    sides = []
    for column, step in enumerate(steps):
        if math.isinf(step):
            sides.append([float(best[column])])
        else:
            ends = {math.floor(best[column] / step + 1e-9), math.ceil(best[column] / step - 1e-9)}
            sides.append(sorted({_set(problem, column, place * step) for place in ends}))
    if math.prod(len(side) for side in sides) > _MOST_CORNERS:
        sides = [side if n < 8 else side[:1] for n, side in enumerate(sides)]
    return np.array(list(product(*sides)), dtype=float).reshape(-1, len(steps))


def _neighbours(problem: Problem, value: Array, steps: Array) -> Array:
    """A step up or down of one setting, or of two at once."""
    moves = [
        (column, sign * step)
        for column, step in enumerate(steps)
        if not math.isinf(step)
        for sign in (-1, 1)
    ]
    found = [value]
    pairs = (pair for pair in combinations(moves, 2) if pair[0][0] != pair[1][0])
    for changes in (*combinations(moves, 1), *pairs):
        other = value.copy()
        for column, by in changes:
            step = abs(by)
            other[column] = _set(
                problem, column, (round(other[column] / step) + np.sign(by)) * step
            )
        found.append(other)
    return np.array(found[:_MOST_CORNERS])


def _set(problem: Problem, column: int, value: float) -> float:
    """A value within its range, without the rounding error of its step."""
    unknown = problem.unknowns[column]
    unit = unknown.unit
    held = min(max(value, unknown.numbers[0]), unknown.numbers[-1])
    return float(f"{held / unit.size:.10g}") * unit.size
