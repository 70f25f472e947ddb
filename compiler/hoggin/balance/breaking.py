"""What crushers do to sizes: an operator from feed classes to product classes.

Most operators are known before anything flows. Those of crushers that follow their feed, by its F80
or its rock, are known only with it (`fed_operator`); `following` finds both together in a loop.
Where it matters how full a chamber is, its operator lies between two that are known before.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from hoggin.balance.circuit import Arguments, Circuit, Crusher, rows_of, some_at_a_time
from hoggin.balance.grid import Cells
from hoggin.balance.mixing import normalise
from hoggin.balance.result import Array
from hoggin.balance.topology import Part
from hoggin.models import grading
from hoggin.models.arrays import over
from hoggin.models.points import in_halves

_OF_NOTHING_MM = 1.0  # F80 where nothing flows: any will do


def operators(circuit: Circuit, part: Part) -> Array:
    """The operators of the c crushers of a part of the flowsheet, (1 or B, c, n, n).

    Crushers of one model are evaluated together, and cases of the same coefficients once. The
    places of those that follow their feed are left open, one a case. Chambers are full.
    """
    crushers = [unit for m in part.crushers if isinstance(unit := circuit.units[m], Crusher)]
    following = any(unit.follows for unit in crushers)
    rows = max((rows_of(unit.arguments) for unit in crushers), default=1)
    rows = circuit.cases if following else rows
    found = np.empty((rows, len(crushers), len(circuit.cells), len(circuit.cells)))
    alike: dict[tuple[Callable[..., Array], tuple[str, ...]], list[tuple[Arguments, Array]]] = {}
    for c, unit in enumerate(crushers):
        if unit.follows:
            continue
        if rows_of(unit.arguments) == 1:
            given = unit.plain_arguments
            alike.setdefault((unit.operator, tuple(given)), []).append((given, found[:, c]))
        else:
            _evaluate_distinct(unit, circuit.cells, found[:, c])
    for (operator, names), shared in alike.items():
        arguments = {name: np.concatenate([given[name] for given, _ in shared]) for name in names}
        matrices = np.empty((len(shared), *found.shape[2:]))
        _evaluate(operator, circuit.cells, arguments, matrices)
        for matrix, (_, place) in zip(matrices, shared, strict=True):
            place[:] = matrix
    return found


def _evaluate_distinct(unit: Crusher, cells: Cells, out: Array) -> None:
    """A crusher's operators into `out` (B, n, n), once for all cases of the same coefficients."""
    arguments = unit.plain_arguments
    table = np.stack(np.broadcast_arrays(*arguments.values()), axis=1)
    distinct, first, case = np.unique(table, axis=0, return_index=True, return_inverse=True)
    if len(distinct) == len(table):
        _evaluate(unit.operator, cells, arguments, out)
        return
    some = {name: v if len(v) == 1 else v[first] for name, v in arguments.items()}
    matrices = np.empty((len(distinct), *out.shape[1:]))
    _evaluate(unit.operator, cells, some, matrices)
    for place, row in enumerate(case.ravel()):
        out[place] = matrices[row]


@dataclass(frozen=True, slots=True)
class Fed:
    """What crushers may follow of their feed.

    f80_mm: (B,) of it. rock_shares: (B, K) mass fraction in it from each of the plant's feeds.
    passing: (B, c) of it, as `passing_classes` gives it. filling: (1 or B,) how full the chamber
    is.
    """

    f80_mm: Array
    rock_shares: Array
    passing: Array
    filling: Array

    @classmethod
    def of(cls, cells: Cells, feed_t_h: Array, rock_shares: Array, filling: Array) -> Fed:
        """Of feeds (B, n) by cell."""
        size = f80(cells.edges_mm, in_halves(feed_t_h))
        return cls(size, rock_shares, passing_classes(feed_t_h), filling)


def fed_operator(unit: Crusher, cells: Cells, fed: Fed) -> Array:
    """Operators (B, n, n) of a crusher that follows its feed."""
    matrices = np.empty((len(fed.f80_mm), len(cells), len(cells)))
    _evaluate(unit.operator, cells, fed_arguments(unit, fed), matrices)
    return matrices


def starved_operator(unit: Crusher, cells: Cells) -> Array:
    """Operators (1 or B, n, n) of a crusher that follows its load alone, with a starved chamber."""
    arguments = {**unit.plain_arguments, "filling": np.zeros(1)}
    matrices = np.empty((rows_of(arguments), len(cells), len(cells)))
    _evaluate(unit.operator, cells, arguments, matrices)
    return matrices


def fed_arguments(unit: Crusher, fed: Fed) -> Arguments:
    """What a crusher's operator is called with: its arguments and what it follows of its feed."""
    given = dict(unit.arguments if unit.follows_rock else unit.plain_arguments)
    if unit.follows_size:
        given["f80_mm"] = fed.f80_mm
    if unit.follows_rock:
        given["rock_shares"] = fed.rock_shares
    if unit.follows_load:
        given["filling"] = fed.filling
    if unit.follows_grading:
        given["feed_passing"] = fed.passing
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
