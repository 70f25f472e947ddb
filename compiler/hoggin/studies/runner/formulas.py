"""Formulas of free numbers, computed for all cases at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.result import Array
from hoggin.schema.tracing import (
    OF_CLASS,
    Bound,
    Formula,
    Freedom,
    Operation,
    Operator,
    Path,
    Variable,
)

_SLACK = 1e-9  # of a bound
_OPERATORS: Mapping[Operator, Callable[[Array, Array], Array]] = {
    "+": np.add,
    "-": np.subtract,
    "*": np.multiply,
    "/": np.divide,
    "^": np.power,
    "min": np.minimum,
    "max": np.maximum,
}


def numbers(freedom: Freedom, values: Mapping[str, Array]) -> dict[Path, Array]:
    """Every number that depends on a free one, (B,), by its place in the plant.

    values: by name of the free number, (B,), in SI units; one that is missing is at its start.
    Raises ValueError for values of unlike length, KeyError for a name that is not left open.
    """
    unknown = values.keys() - freedom.variables.keys()
    if unknown:
        raise KeyError(", ".join(sorted(unknown)))
    lengths = {len(value) for value in values.values()}
    if len(lengths) > 1:
        raise ValueError("all free numbers must have one value per case")
    count = lengths.pop() if lengths else 1
    found: dict[int, Array] = {}
    for name, variable in freedom.variables.items():
        given = values.get(name)
        start = np.full(count, variable.start)
        found[id(variable)] = start if given is None else np.asarray(given, dtype=np.float64)
    return {path: _worked_out(formula, found) for path, formula in freedom.formulas.items()}


def beyond(bound: Bound, freedom: Freedom, values: Mapping[str, Array]) -> NDArray[np.bool_]:
    """In which cases a number is outside its range by more than rounding error, (B,)."""
    value = bounded(bound, freedom, values)
    ends = [abs(end) for end in (bound.low, bound.high) if np.isfinite(end)]
    slack = _SLACK * max(ends, default=1.0)
    return ~((value >= bound.low - slack) & (value <= bound.high + slack))


def bounded(bound: Bound, freedom: Freedom, values: Mapping[str, Array]) -> Array:
    """The number that has a range, in every case (B,), in SI units."""
    return numbers(Freedom(freedom.variables, {("held",): bound.formula}), values)["held",]


def outside(freedom: Freedom, values: Mapping[str, Array], count: int) -> dict[int, str]:
    """Cases of `count` in which a number is outside a range of its class, its model or nature, each
    with the reason."""
    found: dict[int, str] = {}
    for bound in sorted(freedom.bounds, key=lambda bound: bound.by != OF_CLASS):
        cases = np.flatnonzero(np.broadcast_to(beyond(bound, freedom, values), count))
        if len(cases):
            value = np.broadcast_to(bounded(bound, freedom, values), count)
            for case in cases:
                found.setdefault(int(case), bound.refusal(float(value[case])))
    return found


def _worked_out(formula: Formula, found: dict[int, Array]) -> Array:
    """`found` holds what is known so far: a formula that several share is computed once."""
    if isinstance(formula, float | int):
        return np.array([float(formula)])
    key = id(formula)
    if key not in found:
        assert not isinstance(formula, Variable), "every variable has a value"
        assert isinstance(formula, Operation)
        left, right = _worked_out(formula.left, found), _worked_out(formula.right, found)
        found[key] = _OPERATORS[formula.operator](left, right)
    return found[key]
