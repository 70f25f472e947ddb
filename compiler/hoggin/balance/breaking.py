"""What crushers do to sizes: an operator from feed classes to product classes.

Most operators are known before anything flows. Those of crushers that follow their feed, by its F80
or its rock, are known only with it (`fed_operator`); `following` finds both together in a loop.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from hoggin.balance.circuit import Arguments, Circuit, Crusher, rows_of, some_at_a_time
from hoggin.balance.grid import Cells
from hoggin.balance.mixing import normalise
from hoggin.balance.result import Array
from hoggin.models import grading
from hoggin.models.arrays import over

_OF_NOTHING_MM = 1.0  # F80 where nothing flows: any will do


def operators(circuit: Circuit) -> list[Array]:
    """Per part of the flowsheet, the operators of its c crushers, (1 or B, c, n, n).

    Crushers of one model whose coefficients are the same in all cases are evaluated together. The
    places of those that follow their feed are left open, one a case.
    """
    cells = len(circuit.cells)
    found: list[Array] = []
    alike: dict[tuple[Callable[..., Array], tuple[str, ...]], list[tuple[Crusher, Array]]] = {}
    for part in circuit.flowsheet.parts:
        crushers = [unit for m in part.crushers if isinstance(unit := circuit.units[m], Crusher)]
        following = any(unit.follows for unit in crushers)
        rows = max((rows_of(unit.arguments) for unit in crushers), default=1)
        rows = circuit.cases if following else rows
        found.append(np.empty((rows, len(crushers), cells, cells)))
        for c, unit in enumerate(crushers):
            place = found[-1][:, c]
            if unit.follows:
                continue
            if rows_of(unit.arguments) == 1:
                alike.setdefault((unit.operator, tuple(unit.arguments)), []).append((unit, place))
            else:
                _evaluate(unit.operator, circuit.cells, unit.plain_arguments, place)
    for (operator, names), shared in alike.items():
        arguments = {
            name: np.concatenate([unit.plain_arguments[name] for unit, _ in shared])
            for name in names
        }
        matrices = np.empty((len(shared), cells, cells))
        _evaluate(operator, circuit.cells, arguments, matrices)
        for matrix, (_, place) in zip(matrices, shared, strict=True):
            place[:] = matrix
    return found


def fed_operator(
    unit: Crusher, cells: Cells, f80_mm: Array, rock_shares: Array, passing: Array
) -> Array:
    """Operators (B, n, n) of a crusher that follows its feed, of which `fed_arguments` tells."""
    matrices = np.empty((len(f80_mm), len(cells), len(cells)))
    _evaluate(unit.operator, cells, fed_arguments(unit, f80_mm, rock_shares, passing), matrices)
    return matrices


def fed_arguments(unit: Crusher, f80_mm: Array, rock_shares: Array, passing: Array) -> Arguments:
    """What a crusher's operator is called with: its arguments and what it follows of its feed.

    f80_mm: (B,) of its feed. rock_shares: (B, K) mass fraction in it from each of the plant's
        feeds. passing: (B, c) of it, as `passing_classes` gives it.
    """
    given = dict(unit.arguments if unit.follows_rock else unit.plain_arguments)
    if unit.follows_size:
        given["f80_mm"] = f80_mm
    if unit.follows_rock:
        given["rock_shares"] = rock_shares
    if unit.follows_grading:
        given["feed_passing"] = passing
    return given


def f80(edges_mm: Array, feed_t_h: Array) -> Array:
    """F80 (B,), mm, of feeds (B, n)."""
    size = grading.size_at(edges_mm, feed_t_h, 0.8)
    return np.where(np.isfinite(size) & (size > 0.0), size, _OF_NOTHING_MM)


def passing_classes(feed_t_h: Array) -> Array:
    """Fraction (B, c) of feeds (B, n) by cell that passes each limit of their c + 1 classes but
    the coarsest; of nothing, none."""
    return passing_each(feed_t_h[:, 0::2] + feed_t_h[:, 1::2])


def passing_each(classes_t_h: Array) -> Array:
    """The same of feeds by class, (B, c + 1)."""
    below = np.cumsum(np.maximum(classes_t_h, 0.0)[:, ::-1], axis=1)[:, ::-1]
    return over(below[:, 1:], below[:, :1], empty=0.0)


def shares_of(mass: Array) -> Array:
    """Mass fraction (B, K) of each feed in masses (B, K); alike where nothing flows."""
    empty = mass.sum(axis=-1, keepdims=True) <= 0.0
    return np.where(empty, 1.0 / mass.shape[-1], normalise(mass))


def _evaluate(
    operator: Callable[..., Array], cells: Cells, arguments: Arguments, out: Array
) -> None:
    """Operators into `out` (r, n, n) for arguments of length 1 or r, some rows at a time."""
    known = cells.known_to(operator)
    for some, given in some_at_a_time(len(out), arguments):
        out[some] = operator(cells.edges_mm, **known, **given)
