"""Balance: a checked plant's streams by size class. `balance` for one plant, `solve` for many."""

from hoggin.balance.circuit import Circuit, lower, stack, take
from hoggin.balance.error import with_error
from hoggin.balance.grid import common_edges
from hoggin.balance.result import Balance, Loop
from hoggin.balance.settle import CannotSettle, Remedy, Unsettled
from hoggin.balance.solver import balance, solve

__all__ = [
    "Balance",
    "CannotSettle",
    "Circuit",
    "Loop",
    "Remedy",
    "Unsettled",
    "balance",
    "common_edges",
    "lower",
    "solve",
    "stack",
    "take",
    "with_error",
]
