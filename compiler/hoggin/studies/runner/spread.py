"""A study spread over the cores of this computer; `cluster` spreads it over several computers.

The work is the same wherever it runs: a batch of values in, numbers out, with no state between
batches. So a lost worker costs only the time of its batch.
"""

from __future__ import annotations

from collections.abc import Generator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.result import Array
from hoggin.pool import spread
from hoggin.schema.plant import Expression, Plant, Requirement
from hoggin.schema.tracing import Freedom
from hoggin.studies.runner.cases import cases
from hoggin.studies.runner.solving import solve_cases
from hoggin.studies.unfinished import NOT_COMPUTED

Batch = Mapping[str, Array]
"""Values of free numbers by name, (B,) each, in SI units."""


@dataclass(frozen=True)
class Work:
    """What is computed for every case of a plant."""

    plant: Plant
    freedom: Freedom
    expressions: tuple[Expression, ...] = ()
    requirements: tuple[Requirement, ...] = ()

    def done(self, batch: Batch) -> Part:
        """The numbers of one batch."""
        solved = solve_cases(cases(self.plant, self.freedom, batch))
        count = solved.cases.count
        values = [solved.read(expression) for expression in self.expressions]
        margins = [solved.margin(requirement) for requirement in self.requirements]
        void = [solved.void(requirement) for requirement in self.requirements]
        overloaded = solved.overloaded
        solved.forget()
        return Part(
            values=np.array(values).reshape(len(self.expressions), count),
            margins=np.array(margins).reshape(len(self.requirements), count),
            void=np.array(void, dtype=bool).reshape(len(self.requirements), count),
            overloaded=np.array(overloaded, dtype=bool).reshape(len(overloaded), count),
            settled=solved.settled,
            refused=solved.refused,
        )


@dataclass(frozen=True)
class Part:
    """values: (E, B) in trade units and fractions, margins: (R, B) in each requirement's unit; NaN
    where a case has no balance or no such value. void: (R, B) whether a requirement is not judged.
    overloaded: (M, B) by machine of the plant. refused: why a case has no balance."""

    values: Array
    margins: Array
    void: NDArray[np.bool_]
    overloaded: NDArray[np.bool_]
    settled: NDArray[np.bool_]
    refused: Mapping[int, str]

    def first(self, count: int) -> Part:
        """Its first cases alone."""
        return Part(
            self.values[:, :count],
            self.margins[:, :count],
            self.void[:, :count],
            self.overloaded[:, :count],
            self.settled[:count],
            {case: reason for case, reason in self.refused.items() if case < count},
        )

    def taken(self, order: NDArray[np.intp]) -> Part:
        """Its cases in another order."""
        place = {int(case): at for at, case in enumerate(order)}
        return Part(
            self.values[:, order],
            self.margins[:, order],
            self.void[:, order],
            self.overloaded[:, order],
            self.settled[order],
            {place[case]: reason for case, reason in self.refused.items()},
        )

    def among(self, places: NDArray[np.intp], count: int, others: Mapping[int, str]) -> Part:
        """Its cases at these places among `count`; `others` says why the rest have no values."""

        def put(found: NDArray[Any], empty: Any) -> NDArray[Any]:
            placed = np.full((*found.shape[:-1], count), empty, dtype=found.dtype)
            placed[..., places] = found
            return placed

        own = {int(places[case]): reason for case, reason in self.refused.items()}
        return Part(
            put(self.values, np.nan),
            put(self.margins, np.nan),
            put(self.void, False),
            put(self.overloaded, False),
            put(self.settled, False),
            {**others, **own},
        )


def without_balance(
    expressions: int, requirements: int, machines: int, cases: int, reason: str = NOT_COMPUTED
) -> Part:
    """A part whose cases have no balance, all for one reason."""
    return Part(
        np.full((expressions, cases), np.nan),
        np.full((requirements, cases), np.nan),
        np.zeros((requirements, cases), dtype=bool),
        np.zeros((machines, cases), dtype=bool),
        np.zeros(cases, dtype=bool),
        dict.fromkeys(range(cases), reason),
    )


Finished = Generator[tuple[int, Part], None, None]


class Spread(Protocol):
    """A place to work. It yields parts as they are finished, each with the number of its batch."""

    def parts(self, work: Work, batches: Sequence[Batch]) -> Finished: ...


@dataclass(frozen=True)
class Nowhere:
    """No work is done: what is known already is all there is of a study that was interrupted."""

    def parts(self, _work: Work, _batches: Sequence[Batch]) -> Finished:
        yield from ()


@dataclass(frozen=True)
class Here:
    """This process if `processes` is 1, otherwise that many worker processes."""

    processes: int = 1

    def parts(self, work: Work, batches: Sequence[Batch]) -> Finished:
        """Raises PoolError if a process is lost."""
        return spread(work.done, batches, self.processes)
