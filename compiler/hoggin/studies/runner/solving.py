"""Cases balanced in one pass. A case without a steady balance spoils no other."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from hoggin.balance import Balance, CannotSettle, solve, take
from hoggin.balance.result import Array
from hoggin.schema.plant import Expression
from hoggin.studies.runner.cases import Cases
from hoggin.studies.runner.readings import Reader

_MOST_REFUSALS = 50
"""Times a batch is tried again without the cases that were refused; then it is halved instead."""


@dataclass(frozen=True)
class Solved:
    """Balanced cases. `settled` tells which of the B cases have a balance; `balance` holds those
    alone, in order. `refused` says why the others have none, each in a sentence."""

    cases: Cases
    balance: Balance | None
    settled: NDArray[np.bool_]
    refused: dict[int, str]

    @cached_property
    def reader(self) -> Reader | None:
        if self.balance is None:
            return None
        return Reader(self.cases, np.flatnonzero(self.settled), self.balance)

    def read(self, expression: Expression) -> Array:
        """An expression's value in every case, (B,), in trade units and fractions; NaN where a case
        has no balance or the result no value."""
        values = np.full(self.cases.count, np.nan)
        if self.reader is not None:
            values[self.settled] = self.reader.value(expression)
        return values


def solve_cases(cases: Cases) -> Solved:
    """Balance all cases that can be."""
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
