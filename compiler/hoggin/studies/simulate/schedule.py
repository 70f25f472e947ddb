"""The plan of every section at any hour of shift time: planned stops and loading."""

from __future__ import annotations

from dataclasses import dataclass
from math import fsum

import numpy as np
from numpy.typing import NDArray

from hoggin.errors import HogginError
from hoggin.studies.intervals import Intervals
from hoggin.studies.simulate.line import Floats, Line

MOST_STOPS = 10_000  # of all machines, in a run


@dataclass(frozen=True, slots=True, eq=False)
class Schedule:
    """Hours at which the plan changes, ending with the run's last (N,); between the nth mark and
    the one before it: whether each section is in a planned stop, and whether its feeds are
    delivered, (N, K); whether each of the equal machines in parallel is in one, (N, U)."""

    marks_h: Floats
    planned: NDArray[np.bool_]
    loaded: NDArray[np.bool_]
    units: NDArray[np.bool_]


def schedule(line: Line, hours: float) -> Schedule:
    """The plan of a run of this length. Raises HogginError where it has too many stops."""
    _refuse_too_many(line, hours)
    count = len(line.sections)
    stops = [_stops(_of_section(line, section), hours) for section in range(count)]
    of_units = [_stops(unit.stops_h, hours) for unit in line.units]
    edges = {hours}
    for windows in (*stops, *of_units, *line.loaded_h.values()):
        edges.update(edge for window in windows for edge in window if 0 < edge < hours)
    marks = np.array(sorted(edges))
    middles = (marks + np.concatenate(([0.0], marks[:-1]))) / 2
    planned = np.zeros((len(marks), count), dtype=bool)
    loaded = np.ones((len(marks), count), dtype=bool)
    for section in range(count):
        planned[:, section] = _within(middles, stops[section])
        if section in line.loaded_h:
            loaded[:, section] = _within(middles, line.loaded_h[section])
    units = np.zeros((len(marks), len(line.units)), dtype=bool)
    for place, windows in enumerate(of_units):
        units[:, place] = _within(middles, windows)
    return Schedule(marks, planned, loaded, units)


def _refuse_too_many(line: Line, hours: float) -> None:
    planned = [(every, lasting) for _, every, lasting in line.stops_h]
    planned += [(every, lasting) for unit in line.units for _, every, lasting in unit.stops_h]
    if fsum((hours + lasting) / every for every, lasting in planned) > MOST_STOPS:
        raise HogginError(
            f"more than {MOST_STOPS:,} planned stops in {hours:g} h: simulate a shorter time, or "
            "state `maintenance` at longer intervals"
        )


def _of_section(line: Line, section: int) -> tuple[tuple[float, float, float], ...]:
    return tuple((1.0, every, lasts) for one, every, lasts in line.stops_h if one == section)


def _stops(stops: tuple[tuple[float, float, float], ...], hours: float) -> Intervals:
    """Stops (phase, every, lasting) as windows of shift time. Each ends when it is due, so a run of
    whole intervals has all of their stops."""
    found = []
    for phase, every, lasting in stops:
        ends = (np.arange(np.ceil((hours + lasting) / every - phase)) + phase) * every
        found += [(max(end - lasting, 0.0), end) for end in ends.tolist()]
    return tuple(found)


def _within(hours: Floats, windows: Intervals) -> NDArray[np.bool_]:
    """Whether each hour lies in a window; windows may overlap."""
    if not windows:
        return np.zeros(len(hours), dtype=bool)
    starts = np.sort([start for start, _ in windows])
    ends = np.sort([end for _, end in windows])
    opened = np.searchsorted(starts, hours, side="right")
    closed = np.searchsorted(ends, hours, side="right")
    return opened > closed
