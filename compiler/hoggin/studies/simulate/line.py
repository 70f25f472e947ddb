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

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Failing:
    """A machine that fails while its section runs, and is repaired while the section is stopped."""

    tag: str
    section: int
    failures_per_h: float  # of running
    repair_h: float  # mean


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
        mean repair). Buzacott (1967), from memory.
        """
        burden = np.zeros(len(self.sections))
        for machine in self.failing:
            burden[machine.section] += machine.failures_per_h * machine.repair_h
        return 1.0 / (1.0 + burden)
