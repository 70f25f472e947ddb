"""The cost of a limit: which sides bind at a case, and the gain from one unit of relaxing each.

At an optimum the slope of the cost is a sum of the slopes of what binds, each times a multiplier
not below 0 (Karush 1939; Kuhn & Tucker 1951; from memory). They are found by least squares,
and each is checked by another search with that side a little relaxed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.result import Array
from hoggin.schema.tracing import Bound
from hoggin.studies.design.problem import held_size
from hoggin.studies.design.search import Local, polish
from hoggin.studies.design.trials import Goal, Scored, Trials

_ACTIVE = 2e-5  # of a side's scale: nearer than this, it binds
_AT_END = 1e-5  # of a range
_KEPT = 0.02  # of the cost's slope: the most that may stay unexplained if multipliers are reported
_RELAXED = 0.01  # of a side's scale, to see what it brings
_NOTHING = 1e-6  # of the cost over a whole scale: less is not reported


@dataclass(frozen=True)
class SideWorth:
    """The gain in the cost's unit from relaxing a side by `relaxed` of its requirement's unit. For
    ranges, that is one unit at the rate of a small step: by the multiplier (None if slopes don't
    determine it), and by a new search. For choices, it is the least relaxation with a gain."""

    side: int
    by_multiplier: float | None
    by_search: float
    relaxed: float = 1.0


@dataclass(frozen=True)
class EndWorth:
    """A setting at an end of its range, and the gain from one unit (SI) beyond it."""

    unknown: int
    upper: bool
    by_multiplier: float | None


@dataclass(frozen=True)
class HeldWorth:
    """A number at an end of the range that its class, its model or nature sets it, and the gain
    from one unit (SI) beyond it: by the multiplier, and by what another search loses further
    inside."""

    bound: Bound
    upper: bool
    by_multiplier: float | None
    by_search: float | None


@dataclass(frozen=True)
class Worths:
    sides: tuple[SideWorth, ...]
    ends: tuple[EndWorth, ...]
    held: tuple[HeldWorth, ...] = ()


def worths(trials: Trials, goal: Goal, best: Scored) -> Worths:
    """Of the sides and ends that bind at the best case, for a problem with ranges."""
    problem = trials.problem
    moved = np.flatnonzero(~problem.is_choice)
    if not len(moved):
        return Worths(tuple(_next_choices(trials, goal, best)), ())
    value = best.values[0]
    low, high = problem.low[moved], problem.high[moved]
    shares = (value[moved] - low) / (high - low)
    local = Local(trials, goal, value, moved)
    active = np.flatnonzero(goal.sides & (best.margins[0] + goal.relaxed < _ACTIVE))
    ends = [(axis, upper) for axis in range(len(moved)) for upper in (False, True)]
    ends = [(a, u) for a, u in ends if (1 - shares[a] if u else shares[a]) < _AT_END]
    first = int(goal.sides.sum() + np.isfinite(goal.ceilings).sum())
    held = np.flatnonzero(local.room(shares)[first:] < _ACTIVE)
    multipliers = _multipliers(local, shares, goal, active, ends, first + held)
    nothing = _NOTHING * max(abs(float(trials.cost(best, goal)[0])), 1e-9)
    found = []
    for number, side in enumerate(active):
        stated = problem.sides[side]
        per_unit = stated.unit_size / stated.scale  # of its scale, in one unit of it
        multiplier = None if multipliers is None else float(multipliers[number]) * per_unit
        gain = gained(trials, goal, best, int(side), _RELAXED) / _RELAXED * per_unit
        if max(gain, multiplier or 0.0) > nothing * per_unit:
            found.append(SideWorth(int(side), multiplier, gain))
    beyond = []
    for number, (axis, upper) in enumerate(ends, len(active)):
        range_ = high[axis] - low[axis]
        worth = None if multipliers is None else float(multipliers[number] / range_)
        if worth is None or worth * range_ > nothing:
            beyond.append(EndWorth(int(moved[axis]), upper, worth))
    within = []
    for number, column in enumerate(held, len(active) + len(ends)):
        bound = problem.held[column // 2]
        size = held_size(bound)
        worth = None if multipliers is None else float(multipliers[number]) / size
        loss = lost(trials, goal, best, int(column), _RELAXED)
        by_search = None if loss is None else loss / _RELAXED / size
        if max(worth or 0.0, by_search or 0.0) * size > nothing:
            within.append(HeldWorth(bound, bool(column % 2), worth, by_search))
    return Worths(tuple(found), tuple(beyond), tuple(within))


def _next_choices(trials: Trials, goal: Goal, best: Scored) -> Iterator[SideWorth]:
    """If all settings are choices: the case nearest to meeting each requirement, among those that
    meet all others and are better than the best."""
    problem, known = trials.problem, trials.all
    costs, before = trials.cost(known, goal), float(trials.cost(best, goal)[0])
    owners = np.array([side.requirement for side in problem.sides])
    for number in range(len(problem.requirements)):
        own = np.flatnonzero(owners == number)
        others = replace(goal, sides=goal.sides & (owners != number))
        better = costs < before - _NOTHING * max(abs(before), 1e-9)
        rows = np.flatnonzero(better & trials.meets(known, others))
        if not len(own) or not len(rows):
            continue
        sizes = [problem.sides[side].scale / problem.sides[side].unit_size for side in own]
        lacking = -known.margins[np.ix_(rows, own)] * np.array(sizes)
        nearest = int(np.argmin(lacking.max(axis=1)))
        side = int(np.argmax(lacking[nearest]))
        if np.isfinite(lacking[nearest, side]):
            gain = before - float(costs[rows[nearest]])
            yield SideWorth(int(own[side]), None, gain, float(lacking[nearest, side]))


def gained(trials: Trials, goal: Goal, best: Scored, side: int, relaxed: float) -> float:
    """The decrease of the cost if a side is relaxed by this share of its scale."""
    offsets = goal.relaxed.copy()
    offsets[side] += relaxed
    eased = replace(goal, relaxed=offsets)
    polish(trials, eased, best.values[0])
    return max(0.0, float(trials.cost(best, goal)[0] - trials.cost(trials.best(eased), goal)[0]))


def lost(trials: Trials, goal: Goal, best: Scored, column: int, inside: float) -> float | None:
    """The increase of the cost if a number stays this share of its range's size inside an end of
    it; None if no such case was found. What is beyond the end can't be balanced."""
    rooms = np.zeros(2 * len(trials.problem.held))
    rooms[column] = inside
    eased = replace(goal, kept_inside=rooms)
    polish(trials, eased, best.values[0])
    found = trials.best(eased)
    if not trials.meets(found, eased)[0]:
        return None
    return max(0.0, float(trials.cost(found, goal)[0] - trials.cost(best, goal)[0]))


def _multipliers(
    local: Local,
    shares: Array,
    goal: Goal,
    active: NDArray[np.intp],
    ends: list[tuple[int, bool]],
    held: NDArray[np.intp],
) -> Array | None:
    """Multipliers of the active sides, then the ends, then what is held in a range (`held`: places
    in the room); None if slopes don't add up, as at a kink."""
    from scipy.optimize import nnls

    slope, rooms = local.slopes(shares)
    places = np.cumsum(goal.sides) - 1  # of a side among those that count
    rows = [rooms[places[side]] for side in active]
    rows += [_inward(axis, upper, len(shares)) for axis, upper in ends]
    rows += [rooms[place] for place in held]
    count = int(goal.sides.sum())
    ceilings = slice(count, count + int(np.isfinite(goal.ceilings).sum()))
    left = local.room(shares)[ceilings]
    rows += [row for row, room in zip(rooms[ceilings], left, strict=True) if room < _ACTIVE]
    if not rows:
        return np.zeros(0)
    columns = np.array(rows).T
    sizes = np.linalg.norm(columns, axis=0)
    sizes[sizes == 0] = 1.0
    found, left_over = nnls(columns / sizes, slope)
    size = float(np.linalg.norm(slope))
    if left_over > _KEPT * size:
        return None
    multipliers: Array = found / sizes
    return multipliers


def _inward(axis: int, upper: bool, count: int) -> Array:
    row = np.zeros(count)
    row[axis] = -1.0 if upper else 1.0
    return row
