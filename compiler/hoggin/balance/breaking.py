"""What crushers do to sizes: an operator from feed classes to product classes."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from hoggin.balance.circuit import Arguments, Circuit, Crusher
from hoggin.balance.result import Array

_TOGETHER = 64  # operators a model is asked for at once; more only spill the processor's cache


def operators(circuit: Circuit) -> list[Array]:
    """Per part of the flowsheet, the operators of its c crushers, (1 or B, c, n, n).

    Crushers of one model whose coefficients are the same in all cases are evaluated together.
    """
    classes = len(circuit.edges_mm) - 1
    found: list[Array] = []
    alike: dict[tuple[Callable[..., Array], tuple[str, ...]], list[tuple[Crusher, Array]]] = {}
    for part in circuit.flowsheet.parts:
        crushers = [unit for m in part.crushers if isinstance(unit := circuit.units[m], Crusher)]
        rows = max((_rows(unit.arguments) for unit in crushers), default=1)
        found.append(np.empty((rows, len(crushers), classes, classes)))
        for c, unit in enumerate(crushers):
            place = found[-1][:, c]
            if _rows(unit.arguments) == 1:
                alike.setdefault((unit.operator, tuple(unit.arguments)), []).append((unit, place))
            else:
                _evaluate(unit.operator, circuit.edges_mm, unit.arguments, place)
    for (operator, names), shared in alike.items():
        arguments = {
            name: np.concatenate([unit.arguments[name] for unit, _ in shared]) for name in names
        }
        matrices = np.empty((len(shared), classes, classes))
        _evaluate(operator, circuit.edges_mm, arguments, matrices)
        for matrix, (_, place) in zip(matrices, shared, strict=True):
            place[:] = matrix
    return found


def _rows(arguments: Arguments) -> int:
    return max((len(values) for values in arguments.values()), default=1)


def _evaluate(
    operator: Callable[..., Array], edges_mm: Array, arguments: Arguments, out: Array
) -> None:
    """Operators into `out` (r, n, n) for arguments of length 1 or r, some rows at a time."""
    for first in range(0, len(out), _TOGETHER):
        some = slice(first, first + _TOGETHER)
        given = {name: v if len(v) == 1 else v[some] for name, v in arguments.items()}
        out[some] = operator(edges_mm, **given)
