"""The plant as a line of sections between stores that fill and empty. Numbers only.

Rates are the balance's. A section run at a fraction x of them takes and gives x times as much.
Arrays have a row for a section (K), and a column for a store (J) or for a target: the stores, then
the products (T = J + P).
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from hoggin.studies.intervals import Intervals
from hoggin.studies.simulate.document import Cause

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Failing:
    """A machine that fails while its section runs, or a detector that stops it for tramp metal.

    The section is stopped until it is repaired, or the metal taken out. Of equal machines one is
    meant, by its place among the line's `units`, and the others run on.
    """

    tag: str
    section: int
    failures_per_h: float  # of running
    repair_h: float  # mean
    unit: int | None = None
    cause: Cause = "failure"

    @property
    def availability(self) -> float:
        """Share of the time it can run, while it is wanted."""
        return round(1.0 / (1.0 + self.failures_per_h * self.repair_h), 12)


@dataclass(frozen=True, slots=True)
class Unit:
    """One of `count` equal machines in parallel. While it is stopped, its section runs at no more
    than the part of its pace that the others take. stops_h: planned, (phase, every, lasting); the
    first ends after this part of the time from one to the next."""

    tag: str
    section: int
    count: int
    stops_h: tuple[tuple[float, float, float], ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Campaign:
    """A splitter that sends everything to one outlet at a time.

    hours: of running, for each outlet (O,); gives_t_h: to each target while it is the outlet's turn
    (O, T). The first outlet's turn comes first.
    """

    tag: str
    section: int
    outlets: tuple[str, ...]
    hours: tuple[float, ...]
    gives_t_h: Floats
    changeover_h: float


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """takes_t_h (K, J) from stores; gives_t_h (K, T) to stores and products, except what campaigns
    direct; feeds_t_h (K,) from outside; pace (K,) the largest fraction; live_t, start_t (J,)."""

    sections: tuple[str, ...]
    stores: tuple[str, ...]
    products: tuple[str, ...]
    takes_t_h: Floats
    gives_t_h: Floats
    feeds_t_h: Floats
    pace: Floats
    live_t: Floats
    start_t: Floats
    failing: tuple[Failing, ...] = ()
    campaigns: tuple[Campaign, ...] = ()
    stops_h: tuple[tuple[int, float, float], ...] = ()  # (section, every, lasting)
    loaded_h: dict[int, Intervals] = field(default_factory=dict)
    """When a section's feeds are delivered, in shift hours; for feeds that are not always."""
    units: tuple[Unit, ...] = ()  # those of one tag are in parallel

    @property
    def clocks(self) -> int:
        """Sections, each with a clock for the failures of its single machines, then units."""
        return len(self.sections) + len(self.units)

    def clock(self, machine: Failing) -> int:
        """The clock that a machine's failures go by."""
        return machine.section if machine.unit is None else len(self.sections) + machine.unit

    @property
    def section_of_clock(self) -> list[int]:
        return [*range(len(self.sections)), *(unit.section for unit in self.units)]

    @property
    def through_t_h(self) -> Floats:
        """What each section takes in at the balance's rates, (K,)."""
        found: Floats = self.takes_t_h.sum(axis=1) + self.feeds_t_h
        return found

    @property
    def availability(self) -> Floats:
        """Share of the time in which each section could run if it were never short, blocked or in a
        planned stop, (K,).

        Machines in series that fail only while they run: 1 / (1 + sum of failures per hour times
        mean repair). Buzacott (1967), from memory. Equal machines in parallel count as one of them,
        which is exact where nothing else of the section fails: the mean of what is left is so much.
        """
        burden = np.zeros(len(self.sections))
        for machine in self.failing:
            share = 1 if machine.unit is None else 1 / self.units[machine.unit].count
            burden[machine.section] += share * machine.failures_per_h * machine.repair_h
        return 1.0 / (1.0 + burden)
