"""The limits of an uncertain number: a setting has its class's range, a rate is not below 0, a
share is not above 100 %.

If a number is used alone, or scaled, its distribution is cut at the limit. If it enters a sum, the
distribution stays whole; a sample whose sum is outside the limit is not valid and is left out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from hoggin.balance.result import Array
from hoggin.schema.tracing import PHYSICAL, Bound, Formula, Freedom, Operation, Variable
from hoggin.studies.runner.formulas import beyond


@dataclass(frozen=True)
class Range:
    """A range in SI units and what sets it, in words; unlimited by default."""

    low: float = -math.inf
    high: float = math.inf
    by: str = ""


def ranges(freedom: Freedom) -> dict[str, Range]:
    """The range of every free number, by its name."""
    names = {id(variable): name for name, variable in freedom.variables.items()}
    found = {name: Range() for name in freedom.variables}
    for held, by in _held(freedom):
        scaled = _scaled(held.formula)
        if scaled is None:
            continue
        variable, factor = scaled
        name = names[id(variable)]
        before = found[name]
        low, high = max(before.low, held.low / factor), min(before.high, held.high / factor)
        if (low, high) != (before.low, before.high):
            whole = before.by if by in before.by else ", ".join(filter(None, (before.by, by)))
            found[name] = Range(low, high, whole)
    return found


def outside(freedom: Freedom, values: Mapping[str, Array]) -> dict[int, str]:
    """Cases (B,) in which a number lies outside what it can be, each with the reason."""
    found: dict[int, str] = {}
    for held, by in _held(freedom):
        if _scaled(held.formula) is None:
            for case in np.flatnonzero(beyond(held, freedom, values)):
                found.setdefault(int(case), f"`{held.place}` is outside {by}")
    return found


def _held(freedom: Freedom) -> Iterator[tuple[Bound, str]]:
    """The numbers that have to be within a range, and what sets it."""
    for bound in freedom.bounds:
        yield bound, bound.by
    for path, formula in freedom.formulas.items():
        match path:
            case ("feeds", _, "grading", _, 1) | ("machines", _, "shares", _):
                name = ".".join(map(str, path[1:]))
                yield Bound(name, formula, 0.0, 1.0, PHYSICAL), PHYSICAL


def _scaled(formula: Formula) -> tuple[Variable, float] | None:
    """The free number and the factor, above 0, where a formula is only that number scaled."""
    if isinstance(formula, Variable):
        return formula, 1.0
    if not isinstance(formula, Operation) or formula.operator not in "*/":
        return None
    left, right = formula.left, formula.right
    if formula.operator == "*" and isinstance(left, float | int):
        left, right = right, left
    if not isinstance(right, float | int) or right <= 0 or isinstance(left, float | int):
        return None
    inner = _scaled(left)
    if inner is None:
        return None
    return inner[0], inner[1] * right if formula.operator == "*" else inner[1] / right
