"""The trade-off front of several aims: settings that no others beat in all aims.

First, each aim's own optimum is found. Then, at levels of the other aims between their best and
their values at the first aim's optimum, the first aim is optimised (the epsilon-constraint method,
Haimes et al. 1971; from memory), each time from the best known case. Every balanced case counts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.result import Array
from hoggin.studies.design.search import Effort, all_choices, hills, polish, search
from hoggin.studies.design.trials import Scored, Trials

_LEVELS = {2: 11, 3: 5}  # of each further aim; 3 for more aims than these
_MOST_POINTS = 25
_SAME = 2e-3  # of an aim's span: points nearer in all aims are one


@dataclass(frozen=True)
class FrontPoint:
    """A point of the front: which alternative, and its case."""

    alternative: int
    case: Scored


def front(alternatives: Sequence[Trials], effort: Effort) -> list[FrontPoint]:
    """Points of the front in order of the first aim, its best first."""
    count = len(alternatives[0].problem.aims)
    for trials in alternatives:
        for aim in range(count):
            search(trials, trials.goal(np.eye(count)[aim]), effort)
    known = _met(alternatives)
    if not known:
        return []
    ends = [min(known, key=lambda p: float(p.case.costs[0, aim])) for aim in range(count)]
    best = np.array([ends[aim].case.costs[0, aim] for aim in range(count)])
    worst = np.max([end.case.costs[0] for end in ends], axis=0)
    if all(all_choices(trials.problem) is not None for trials in alternatives):
        points = known
    else:
        points = [*ends, *_between(alternatives, best, worst)]
    return _thinned(undominated(points), np.maximum(worst - best, 1e-12))


def _between(alternatives: Sequence[Trials], best: Array, worst: Array) -> list[FrontPoint]:
    """The optimum of the first aim at levels of the others."""
    count = len(best)
    levels = np.linspace(0.0, 1.0, _LEVELS.get(count, 3) + 2)[1:-1]
    found = []
    for shares in product(levels[::-1], repeat=count - 1):
        ceilings = np.full(count, np.inf)
        ceilings[1:] = best[1:] + np.array(shares) * (worst[1:] - best[1:])
        found += _at_level(alternatives, ceilings)
    return found


def _at_level(alternatives: Sequence[Trials], ceilings: Array) -> list[FrontPoint]:
    """The best alternative there, after a polish of the best two; empty if none meets the level."""
    first = np.eye(len(ceilings))[0]
    goals = [trials.goal(first, ceilings) for trials in alternatives]

    def least(place: int) -> float:
        return alternatives[place].least(goals[place])

    for place in sorted(range(len(alternatives)), key=least)[:2]:
        trials, goal = alternatives[place], goals[place]
        for start in hills(trials, goal, 2):
            polish(trials, goal, start)
    place = min(range(len(alternatives)), key=least)
    trials, goal = alternatives[place], goals[place]
    return [FrontPoint(place, trials.best(goal))] if trials.met(goal) else []


def _met(alternatives: Sequence[Trials]) -> list[FrontPoint]:
    found = []
    for place, trials in enumerate(alternatives):
        goal = trials.goal(np.ones(len(trials.problem.aims)))
        known = trials.all
        rows = np.flatnonzero(trials.meets(known, goal))
        rows = rows[_leading(known.costs[rows])]
        found += [FrontPoint(place, known.row(int(row))) for row in rows]
    return found


def undominated(points: Sequence[FrontPoint]) -> list[FrontPoint]:
    """Points for which no other point is as good in all aims and better in one."""
    if not points:
        return []
    costs = np.array([point.case.costs[0] for point in points])
    return [points[int(row)] for row in np.flatnonzero(_leading(costs))]


def _leading(costs: Array) -> NDArray[np.bool_]:
    """Which rows (B, A) no other dominates; the first of equals stands for all."""
    kept = np.ones(len(costs), dtype=bool)
    order = np.lexsort(costs.T[::-1])
    leaders: list[Array] = []
    for row in order:
        cost = costs[row]
        if leaders and (np.array(leaders) <= cost).all(axis=1).any():
            kept[row] = False
        else:
            leaders.append(cost)
    return kept


def _thinned(points: list[FrontPoint], spans: Array) -> list[FrontPoint]:
    """Points well apart: the ends, then repeatedly the one farthest from those taken."""
    if not points:
        return []
    places = np.array([point.case.costs[0] for point in points]) / spans
    taken = list(dict.fromkeys(int(np.argmin(places[:, aim])) for aim in range(places.shape[1])))
    while len(taken) < min(_MOST_POINTS, len(points)):
        gaps = np.min(np.abs(places[:, None] - places[taken][None]).max(axis=2), axis=1)
        farthest = int(np.argmax(gaps))
        if gaps[farthest] < _SAME:
            break
        taken.append(farthest)
    return [points[n] for n in sorted(taken, key=lambda n: tuple(places[n]))]
