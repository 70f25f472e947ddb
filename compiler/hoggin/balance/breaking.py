"""What crushers do to sizes: an operator from feed classes to product classes."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from hoggin.balance.circuit import Arguments, Circuit, Crusher
from hoggin.balance.result import Array

_TOGETHER = 64  # operators a model is asked for at once; more only spill the processor's cache


def operators(circuit: Circuit) -> dict[int, Array]:
    """Machine number of every crusher -> its operator, (1 or B, n, n).

    Crushers of one model whose coefficients are the same in all cases are evaluated together.
    """
    found: dict[int, Array] = {}
    alike: dict[tuple[Callable[..., Array], tuple[str, ...]], list[int]] = {}
    for machine, unit in enumerate(circuit.units):
        if not isinstance(unit, Crusher):
            continue
        if any(len(values) > 1 for values in unit.arguments.values()):
            found[machine] = _evaluate(unit.operator, circuit.edges_mm, unit.arguments)
        else:
            alike.setdefault((unit.operator, tuple(unit.arguments)), []).append(machine)
    for (operator, names), machines in alike.items():
        arguments = [_arguments(circuit, machine) for machine in machines]
        together = {name: np.concatenate([given[name] for given in arguments]) for name in names}
        matrices = _evaluate(operator, circuit.edges_mm, together)
        found.update((machine, matrices[k : k + 1]) for k, machine in enumerate(machines))
    return found


def _evaluate(operator: Callable[..., Array], edges_mm: Array, arguments: Arguments) -> Array:
    """Operators (r, n, n) for arguments of length 1 or r, some rows at a time."""
    rows = max((len(values) for values in arguments.values()), default=1)
    if rows <= _TOGETHER:
        return operator(edges_mm, **arguments)
    classes = len(edges_mm) - 1
    matrices = np.empty((rows, classes, classes))
    for first in range(0, rows, _TOGETHER):
        some = slice(first, first + _TOGETHER)
        matrices[some] = operator(
            edges_mm,
            **{name: v if len(v) == 1 else v[some] for name, v in arguments.items()},
        )
    return matrices


def _arguments(circuit: Circuit, machine: int) -> dict[str, Array]:
    unit = circuit.units[machine]
    return dict(unit.arguments) if isinstance(unit, Crusher) else {}
