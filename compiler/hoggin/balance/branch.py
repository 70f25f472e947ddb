"""The balance a loop comes to when the plant is started, and how near it is to running away.

A loop whose screens pass less the more they are loaded may balance in several ways at one feed, or
in none. From light load upward one way leads on: as the feed rises its loads rise steadily, until
at a fold (a limit point) it turns back to a lower feed, beyond which the loop runs away. The plant
comes to the balance that is met first on this way. `follow` goes along it by pseudo-arclength
continuation: a step along the tangent, then Newton's method across it.

Feeds enter by their effect alone. At given cut sizes the flows are in proportion to the feed, so
the decks' loads are taken times as large and the flows are computed once.

Source: Keller (1977), in Applications of Bifurcation Theory (Rabinowitz, ed.), 359-384; Allgower &
Georg (1990), Numerical Continuation Methods, ch. 6; from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.result import Array

Flags = NDArray[np.bool_]

FARTHEST = 1.25
"""Times the feed up to which a loop that runs away is looked for."""

_FIRST = np.log(0.02)  # log of the feed, over this feed, at the light end
_FEED_SCALE = 0.15  # a cut size moves about so much with the log of its load
_DIFFERENCE = 1e-6  # of z, for slopes
_LONGEST, _FIRST_STEP, _SHORTEST = 0.15, 0.1, 1e-5  # steps along the way
_GROWTH = 1.5
_STRAIGHT, _SHORT = 0.9, 0.02  # cosine of a step's bend, unless it is short
_ACROSS = 1e-8  # error of a point of the way
_MOST_CORRECTIONS = 6
_MOST_STEPS = 150
_POLISH = 12
_BETWEEN = 5  # places looked at for a lighter balance
_DEEPEST = 5.0  # of log cut sizes below those of empty decks: nothing is screened any more


class Map(Protocol):
    """z -> what z becomes under its own load; see `loading.LoadMap`."""

    def of(self, cases: NDArray[np.intp], /) -> Map: ...
    def empty(self) -> Array: ...
    def at(self, z: Array, times: Array, /) -> tuple[Array, object]: ...


@dataclass(frozen=True, slots=True)
class Branch:
    """Where each case's way first meets its feed. point: (B, Z), the last one met where there is
    none. found: (B,). runs_away_at: (B,) times the feed at which the way folds next, infinite if
    farther than `FARTHEST`; where there is none, the most that it comes to."""

    point: Array
    found: Flags
    runs_away_at: Array
    steps: int


class _Slopes:
    """G at points, with its slopes: the same map in as many copies as there are unknowns."""

    def __init__(self, load: Map, cases: int, width: int) -> None:
        self.load = load
        self.copies = load.of(np.repeat(np.arange(cases), width + 2))
        self.shifts = np.vstack([np.zeros(width + 1), _DIFFERENCE * np.eye(width + 1)])

    def at(self, z: Array, level: Array) -> tuple[Array, Array]:
        """Slopes (B, Z, Z + 1) of G with z and the scaled log of the feed, and G (B, Z)."""
        cases, width = z.shape
        shifted = np.column_stack([z, level])[:, None] + self.shifts
        rows = shifted.reshape(-1, width + 1)
        values, _ = self.copies.at(rows[:, :-1], np.exp(rows[:, -1] / _FEED_SCALE))
        values = values.reshape(cases, width + 2, width)
        slopes = (values[:, 1:] - values[:, :1]) / _DIFFERENCE
        return np.swapaxes(slopes, 1, 2), values[:, 0]


def lighter(load: Map, z: Array) -> Flags:
    """(B,) whether a balance is likely between empty decks and z, where one is: the load then
    draws cut sizes back up somewhere between."""
    shares = np.linspace(0.1, 0.9, _BETWEEN)
    cases, width = z.shape
    empty = load.empty()
    span = z - empty
    between = (empty[:, None] + shares[:, None] * span[:, None]).reshape(-1, width)
    copies = load.of(np.repeat(np.arange(cases), _BETWEEN))
    value, _ = copies.at(between, np.ones(len(between)))
    drawn = np.einsum("bsz,bz->bs", (value - between).reshape(cases, _BETWEEN, width), span)
    return np.asarray((drawn < 0.0).any(axis=1))


def follow(load: Map, *, tolerance: float, known: Array | None = None) -> Branch:
    """Follow every case's way from light load to its feed, and on to the next fold. known: (B, Z)
    where the ways meet it; they are then followed from there."""
    empty = load.empty()
    point = empty.copy() if known is None else known
    found: Flags = np.full(len(empty), known is not None)
    runs_away_at = np.full(len(empty), np.inf if known is not None else 0.0)
    way = _Way.start(load, empty, known)
    active: NDArray[np.intp] = np.arange(len(empty))
    steps = 0
    with np.errstate(all="ignore"):  # a step too long may overflow: it is taken again, shorter
        while len(active) and steps < _MOST_STEPS:
            steps += 1
            leg = way.step()
            folds = leg.moved & (leg.first_tangent[:, -1] > 0.0) & (leg.last_tangent[:, -1] <= 0.0)
            last = way.fold(leg) if folds.any() else leg.last
            last = np.where(folds[:, None], last, leg.last)
            met = leg.moved & ~found[active] & (leg.first[:, -1] < 0.0) & (last[:, -1] >= 0.0)
            if met.any():
                at = way.at_this_feed(leg, last, met, tolerance)
                point[active[met]] = at
                found[active[met]] = True
                runs_away_at[active[met]] = np.inf
            there = found[active]
            away = there & folds
            runs_away_at[active[away]] = np.exp(last[away, -1] / _FEED_SCALE)
            short = active[~there & leg.moved]
            reached = np.exp(last[~there & leg.moved, -1] / _FEED_SCALE)
            runs_away_at[short] = np.maximum(runs_away_at[short], reached)
            beyond = leg.last[:, -1] > _FEED_SCALE * np.log(FARTHEST)
            done = away | (there & leg.moved & beyond)
            done |= way.lost()
            point[active[~there]] = way.y[~there, :-1]
            active = active[~done]
            way = way.of(~done) if done.any() and len(active) else way
    far = found & (runs_away_at > FARTHEST)
    return Branch(point, found, np.where(far, np.inf, runs_away_at), steps)


@dataclass(frozen=True, slots=True)
class _Leg:
    """One step along each way, of those that `moved`: where it starts and ends, (B, Z + 1), with
    the tangents there, and its length (B,)."""

    first: Array
    first_tangent: Array
    last: Array
    last_tangent: Array
    length: Array
    moved: Flags

    def between(self, last: Array, share: Array) -> Array:
        """Points at shares (B,) of the way from first to `last`, on a cubic."""
        span = np.linalg.norm(last - self.first, axis=1)[:, None]
        t = share[:, None]
        bend = self.last_tangent
        return np.asarray(
            (1.0 + 2.0 * t) * (1.0 - t) ** 2 * self.first
            + t * (1.0 - t) ** 2 * span * self.first_tangent
            + t**2 * (3.0 - 2.0 * t) * last
            - t**2 * (1.0 - t) * span * bend
        )


@dataclass
class _Way:
    """Points y = (z, scaled log of the feed), (B, Z + 1), on the ways of some cases, the tangents
    there, and the length of the step to come."""

    load: Map
    slopes: _Slopes
    empty: Array
    y: Array
    tangent: Array
    length: Array

    @classmethod
    def start(cls, load: Map, empty: Array, known: Array | None) -> _Way:
        """At this feed, where that is known, else where feed is next to nothing."""
        cases, width = empty.shape
        level = np.full(cases, _FIRST * _FEED_SCALE if known is None else 0.0)
        y = np.column_stack([empty if known is None else known, level])
        upward = np.zeros_like(y)
        upward[:, -1] = 1.0
        way = cls(load, _Slopes(load, cases, width), empty, y, upward, np.full(cases, _FIRST_STEP))
        way.y, way.tangent, _, _ = way._across(y)
        return way

    def of(self, cases: Flags) -> _Way:
        """The ways of some cases."""
        load = self.load.of(np.flatnonzero(cases))
        arrays = (a[cases] for a in (self.empty, self.y, self.tangent, self.length))
        return _Way(load, _Slopes(load, int(cases.sum()), self.empty.shape[1]), *arrays)

    def step(self) -> _Leg:
        """A step along each way, or a shorter length for the next try."""
        last, tangent, close, quick = self._across(self.y + self.length[:, None] * self.tangent)
        turn = np.einsum("bi,bi->b", tangent, self.tangent)
        moved = close & ((turn > _STRAIGHT) | (self.length < _SHORT))
        leg = _Leg(self.y, self.tangent, last, tangent, self.length, moved)
        self.y = np.where(moved[:, None], last, self.y)
        self.tangent = np.where(moved[:, None], tangent, self.tangent)
        longer = np.minimum(self.length * np.where(quick, _GROWTH, 1.0), _LONGEST)
        self.length = np.where(moved, longer, self.length / 3.0)
        return leg

    def fold(self, leg: _Leg) -> Array:
        """Where the feed is largest on a leg that turns back, (B, Z + 1)."""
        shares = np.linspace(0.0, 1.0, 65)
        levels = np.stack([leg.between(leg.last, np.full(len(leg.last), t))[:, -1] for t in shares])
        share = shares[np.argmax(levels, axis=0)]
        last, _, close, _ = self._across(leg.between(leg.last, share), leg.first_tangent)
        higher = close & (last[:, -1] >= np.maximum(leg.first[:, -1], leg.last[:, -1]))
        ends = np.where((leg.first[:, -1] > leg.last[:, -1])[:, None], leg.first, leg.last)
        return np.where(higher[:, None], last, ends)

    def at_this_feed(self, leg: _Leg, last: Array, met: Flags, tolerance: float) -> Array:
        """z (b, Z) where legs meet this feed itself, of those that do."""
        share = np.clip(leg.first[met, -1] / (leg.first[met, -1] - last[met, -1]), 0.0, 1.0)
        z = (leg.first[met] + share[:, None] * (last - leg.first)[met])[:, :-1]
        load = self.load.of(np.flatnonzero(met))
        slopes = _Slopes(load, *z.shape)
        level = np.zeros(len(z))
        for _ in range(_POLISH):
            slope, value = slopes.at(z, level)
            error = value - z
            if (np.abs(error) <= tolerance).all():
                break
            z = z + np.clip(_solved(np.eye(z.shape[1]) - slope[:, :, :-1], error), -0.1, 0.1)
        return np.asarray(z)

    def lost(self) -> Flags:
        """Ways that lead on to nothing: no step is short enough, or no deck screens any more."""
        deep = (self.y - np.column_stack([self.empty, self.y[:, -1]])).min(axis=1) < -_DEEPEST
        back = self.y[:, -1] < 1.2 * _FIRST * _FEED_SCALE
        return np.asarray((self.length < _SHORTEST) | deep | back)

    def _across(self, y: Array, along: Array | None = None) -> tuple[Array, Array, Flags, Flags]:
        """The points of the ways beside y, the tangents, whether they were found, and soon."""
        along = self.tangent if along is None else along
        slopes, value = self.slopes.at(y[:, :-1], y[:, -1])
        width = value.shape[1]
        system = np.concatenate([slopes, along[:, None]], axis=1)
        system[:, range(width), range(width)] -= 1.0
        onward = np.zeros_like(y)
        onward[:, -1] = 1.0
        tangent = _solved(system, onward)
        tangent = tangent / np.linalg.norm(tangent, axis=1, keepdims=True)
        here: Array = y
        error: Array = value - y[:, :-1]
        close: Flags = np.zeros(len(y), dtype=np.bool_)
        quick = close
        for correction in range(_MOST_CORRECTIONS):
            move = _solved(system, np.column_stack([-error, np.zeros(len(y))]))
            move[close] = 0.0
            here = here + move
            value, _ = self.load.at(here[:, :-1], np.exp(here[:, -1] / _FEED_SCALE))
            error = value - here[:, :-1]
            close = _small(error)
            quick = close if correction < 2 else quick
            if close.all():
                break
        aside = np.abs(here - y).max(axis=1)
        return here, tangent, close & (aside < np.maximum(self.length, _SHORT)), quick


def _small(error: Array) -> Flags:
    """Cases whose points are on their way, to what a step needs."""
    return np.asarray((np.abs(error) < _ACROSS).all(axis=1))


def _solved(system: Array, side: Array) -> Array:
    """Solutions (B, k) of systems (B, k, k); not a number where there is none."""
    broken: Flags = np.asarray(~np.isfinite(system).all(axis=(1, 2)))
    safe = system.copy()
    safe[broken] = np.eye(system.shape[1])
    safe += 1e-14 * np.eye(system.shape[1])
    found: Array = np.asarray(np.linalg.solve(safe, side[:, :, None])[:, :, 0], dtype=np.float64)
    found[broken] = np.nan
    return found
