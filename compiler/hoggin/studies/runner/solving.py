"""Cases balanced in one pass. A case without a steady balance does not affect the others."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from hoggin.balance import Balance, CannotSettle, solve, take
from hoggin.balance.numbers import Numbers
from hoggin.balance.result import Array
from hoggin.rating.overload import anywhere
from hoggin.rating.rated import Rated
from hoggin.rating.readings import Readings
from hoggin.rating.requirements import margins
from hoggin.schema.plant import Expression, Requirement
from hoggin.studies.runner.cases import Cases


@dataclass(frozen=True)
class Solved:
    """Balanced cases. `settled` says which of the B cases have a balance; `balance` has only those,
    in order. `refused` says why the others have none, each in a sentence."""

    cases: Cases
    balance: Balance | None
    settled: NDArray[np.bool_]
    refused: dict[int, str]

    @cached_property
    def rated(self) -> Rated | None:
        """The settled cases."""
        if self.balance is None:
            return None
        chosen = np.flatnonzero(self.settled)
        varied = {
            path: value if len(value) == 1 else value[chosen]
            for path, value in self.cases.numbers.items()
        }
        circuit = take(self.cases.circuit, chosen)
        return Rated(self.cases.plant, self.balance, Numbers(varied), circuit)

    @cached_property
    def readings(self) -> Readings | None:
        return None if self.rated is None else Readings(self.rated)

    def read(self, expression: Expression) -> Array:
        """An expression's value in every case, (B,), in trade units and fractions; NaN where a case
        has no balance or the result no value."""
        return self.among_all(None if self.readings is None else self.readings.value(expression))

    def margin(self, requirement: Requirement) -> Array:
        """By how much a requirement is met in every case, (B,), as `rating.requirements` has it."""
        if self.readings is None or self.rated is None:
            return self.among_all(None)
        return self.among_all(margins(requirement, self.readings, self.rated))

    def void(self, requirement: Requirement) -> NDArray[np.bool_]:
        """In which cases (B,) a requirement is not judged: it depends on an overloaded machine."""
        if self.rated is None:
            return self._in_cases(None)
        above = self.rated.overload.above_requirement(requirement)
        return self._in_cases(anywhere(above, int(self.settled.sum())))

    @property
    def overloaded(self) -> list[NDArray[np.bool_]]:
        """For each machine of the plant, in which cases (B,) it is overloaded."""
        found = {} if self.rated is None else self.rated.overload.machines
        return [self._in_cases(found.get(machine.tag)) for machine in self.cases.plant.machines]

    def _in_cases(self, mask: NDArray[np.bool_] | None) -> NDArray[np.bool_]:
        """What holds of the settled cases, among all."""
        found = np.zeros(self.cases.count, dtype=bool)
        if mask is not None:
            found[self.settled] = mask
        return found

    def forget(self) -> None:
        """Drop the arrays that results were read from."""
        if self.rated is not None:
            self.rated.forget()
        self.__dict__.pop("readings", None)

    def among_all(self, found: Array | None) -> Array:
        """Values of the settled cases among all."""
        values = np.full(self.cases.count, np.nan)
        if found is not None:
            values[self.settled] = found
        return values


def solve_cases(cases: Cases) -> Solved:
    """Balance all cases that have a balance."""
    refused: dict[int, str] = {}
    left = np.arange(cases.count)
    balance: Balance | None = None
    while left.size:
        try:
            balance = solve(take(cases.circuit, left))
            break
        except CannotSettle as fault:
            for place in fault.unsettled.cases:
                refused[int(left[place])] = str(fault)
            left = np.delete(left, list(fault.unsettled.cases))
    settled = np.zeros(cases.count, dtype=bool)
    settled[left] = True
    return Solved(cases, balance, settled, refused)
