"""Times to failure and repair, sampled once and looked up: the nth failure by a clock in a run is
the same whatever else changes, so that two plants are compared with the same failures."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from hoggin.studies.simulate.line import Floats, Line

_BLOCK = 64  # failures drawn at a time


class Draws:
    """The times of `runs` runs of a line with C clocks; each block has its own random generator."""

    def __init__(self, line: Line, runs: int, seed: int) -> None:
        count = line.clocks
        self._seed, self._runs, self._count = seed, runs, count
        self._rates = np.zeros(count)
        self._members: list[list[int]] = [[] for _ in range(count)]
        for place, machine in enumerate(line.failing):
            self._rates[line.clock(machine)] += machine.failures_per_h
            self._members[line.clock(machine)].append(place)
        self._repairs = np.array([machine.repair_h for machine in line.failing] or [0.0])
        self._edges, self._order = _picking(line, self._members, self._rates)
        self._tables = [np.empty((runs, 0, count)) for _ in range(3)]

    @property
    def fails(self) -> bool:
        return bool(self._rates.any())

    def lives(self, nth: NDArray[np.int64]) -> Floats:
        """Running hours from one failure to the nth, (R, C); infinite if there are none."""
        drawn = self._look(0, nth)
        rates = np.where(self._rates > 0, self._rates, 1.0)
        return np.where(self._rates > 0, drawn / rates, np.inf)

    def repairs(self, nth: NDArray[np.int64]) -> tuple[Floats, NDArray[np.int64]]:
        """Hours of the nth repair, and which machine it is of by its place in the line, (R, C)."""
        lot = self._look(2, nth)
        place = (lot[..., None] >= self._edges).sum(axis=2)
        machine = self._order[np.arange(self._count), np.minimum(place, self._order.shape[1] - 1)]
        return self._look(1, nth) * self._repairs[machine], machine

    def _look(self, kind: int, nth: NDArray[np.int64]) -> Floats:
        while int(nth.max()) >= self._tables[kind].shape[1]:
            block = self._tables[kind].shape[1] // _BLOCK
            generator = np.random.default_rng([self._seed, kind, block])
            shape = (self._runs, _BLOCK, self._count)
            fresh = generator.random(shape) if kind == 2 else generator.exponential(size=shape)
            self._tables[kind] = np.concatenate((self._tables[kind], fresh), axis=1)
        return np.take_along_axis(self._tables[kind], nth[:, None, :], axis=1)[:, 0, :]


def _picking(
    line: Line, members: list[list[int]], rates: Floats
) -> tuple[Floats, NDArray[np.int64]]:
    """Shares of failures added up, (C, most), and machines in that order, (C, most)."""
    most = max(1, max((len(one) for one in members), default=1))
    edges = np.ones((len(members), most))
    order = np.zeros((len(members), most), dtype=np.int64)
    for clock, places in enumerate(members):
        parts = np.array([line.failing[place].failures_per_h for place in places])
        if len(places):
            edges[clock, : len(places)] = np.cumsum(parts) / rates[clock]
            order[clock, : len(places)] = places
            order[clock, len(places) :] = places[-1]
    return edges, order
