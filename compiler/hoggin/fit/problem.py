"""Measured gradings and a breakage model as a function from coefficients to residuals."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from inspect import signature
from itertools import pairwise

import numpy as np

from hoggin.fit.base import BaseClass
from hoggin.fit.measured import Sample
from hoggin.fit.parameters import Parameter
from hoggin.models.arrays import Array
from hoggin.models.grading import class_fractions, passing, size_at
from hoggin.models.points import at_points, halves, in_halves, points

_LARGEST_RATIO = 1.2  # of a class's limits, as where the balance's crushers change their breakage
_FINEST_MM = 0.063


@dataclass(frozen=True, eq=False)
class Problem:
    """m measured points of s samples on n size classes, halves of those whose points the balance
    breaks rock at, and p free parameters.

    `feeds` is (s, n), `measured` (m,) fraction passing; `rows` and `columns` (m,) say of which
    sample and at which of the (n + 1,) edges each point is.
    """

    edges_mm: Array
    feeds: Array
    css_mm: Array
    measured: Array
    rows: Array
    columns: Array
    operator: Callable[..., Array]
    held: Mapping[str, Array]
    parameters: tuple[Parameter, ...]

    @cached_property
    def lows(self) -> Array:
        return np.array([parameter.low for parameter in self.parameters])

    @cached_property
    def spans(self) -> Array:
        return np.array([parameter.high - parameter.low for parameter in self.parameters])

    def values(self, shares: Array) -> Array:
        """Of the parameters, from shares of their ranges."""
        return np.asarray(self.lows + self.spans * shares)

    def coefficients(self, values: Sequence[float] | Array) -> dict[str, Array]:
        """The model's arguments, (s,) each, for values of the parameters."""
        arguments = dict(self.held)
        for parameter, value in zip(self.parameters, values, strict=True):
            arguments[parameter.name] = value * np.array(parameter.shape)
        return arguments

    def curves(self, arguments: Mapping[str, Array]) -> Array:
        """Product's fraction passing each edge, (s, n + 1)."""
        operator = self.operator(self.edges_mm, **arguments)
        product = np.einsum("sij,sj->si", operator, at_points(self.feeds))
        return passing(self.edges_mm, in_halves(product))

    def residuals(self, arguments: Mapping[str, Array]) -> Array:
        """Measured minus fitted fraction passing, (m,)."""
        return np.asarray(self.measured - self.curves(arguments)[self.rows, self.columns])


def pose(base: BaseClass, samples: Sequence[Sample], parameters: Sequence[Parameter]) -> Problem:
    """The problem of fitting the parameters to the samples; everything else is as in the class."""
    grid, feeds = _feeds(samples)
    place = {size: column for column, size in enumerate(grid.tolist())}
    taken = [(row, point) for row, sample in enumerate(samples) for point in sample.product]
    free = {parameter.name for parameter in parameters}
    operator = base.model.load("operator")
    if "points_mm" in signature(operator).parameters:
        operator = partial(operator, points_mm=points(grid[::2]))
    held = {n: np.array(v) for n, v in base.coefficients.items() if n not in free}
    if base.model.feed_coefficients:
        held["f80_mm"] = f80s_mm(samples)
    return Problem(
        edges_mm=grid,
        feeds=feeds,
        css_mm=np.array(base.css_mm),
        measured=np.array([point.passing for _, point in taken]),
        rows=np.array([row for row, _ in taken]),
        columns=np.array([place[point.size_mm] for _, point in taken]),
        operator=operator,
        held=held,
        parameters=tuple(parameters),
    )


def f80s_mm(samples: Sequence[Sample]) -> Array:
    """F80 of each sample's feed, (s,), mm."""
    edges, feeds = _feeds(samples)
    return size_at(edges, feeds, 0.8)


def _feeds(samples: Sequence[Sample]) -> tuple[Array, Array]:
    """Limits (n + 1,) of half classes, among them every measured size, and the feeds in them,
    (s, n)."""
    grid = halves(_edges({p.size_mm for s in samples for p in (*s.feed, *s.product)}))
    feeds = [
        class_fractions(grid, [p.size_mm for p in s.feed], [1.0, *(p.passing for p in s.feed[1:])])
        for s in samples
    ]
    return grid, np.array(feeds)


def _edges(sizes_mm: set[float]) -> list[float]:
    """Class limits, coarse to fine and then 0, that hold every measured size."""
    fixed = sorted({*sizes_mm, _FINEST_MM}, reverse=True)
    edges: list[float] = []
    for upper, lower in pairwise(fixed):
        parts = max(1, math.ceil(math.log(upper / lower) / math.log(_LARGEST_RATIO) - 1e-9))
        edges += [upper, *(upper * (lower / upper) ** (k / parts) for k in range(1, parts))]
    return [*edges, fixed[-1], 0.0]
