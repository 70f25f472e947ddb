"""Two-term breakage as running sums: what arrives in a class needs no sum over all coarser ones.

B(x, y) = K (x/y)^n1 + (1 - K) (x/y)^n2 is a sum of two products of a number of x and one of y. So a
class gets of all coarser ones what two sums over these give, which grow class by class from coarse
to fine. For n classes the work is in proportion to n^2; with a matrix it would be to n^3.

Source: the function as in Broadbent & Callcott (1956) and King (2001), ch. 5, from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, column, size_grid
from hoggin.models.chamber import broken_classes
from hoggin.models.points import to_points


@dataclass(frozen=True, slots=True)
class TwoTerm:
    """Progeny of one breakage of each parent class, in 1 or B cases.

    Attributes:
        made: (2, 1 or B, n) the first number of each term.
        of: (2, 1 or B, n) the second. A parent of class j leaves the sum over the terms of
            made[i] of[j] in a finer class i.
        kept: (1 or B, n) what stays where the parent was.
        passed: (1 or B, n) what goes to the finer of two cells of its class.
        cells: of a class: 2 where points stand for it.
    """

    made: Array
    of: Array
    kept: Array
    passed: Array
    cells: int

    def matrix(self) -> Array:
        """(1 or B, n, n) fraction of parents j that ends in class i."""
        found: Array = np.einsum("tbi,tbj->bij", self.made, self.of)
        place = np.arange(found.shape[-1])
        found[:, place[:, np.newaxis] // self.cells <= place // self.cells] = 0.0
        found[:, place, place] = self.kept
        found[:, place[1:], place[:-1]] += self.passed[:, :-1]
        return found


def two_term(
    edges_mm: ArrayLike,
    *,
    fines_share: ArrayLike,
    fines_exponent: ArrayLike,
    coarse_exponent: ArrayLike,
    points_mm: ArrayLike | None = None,
) -> TwoTerm:
    """B(x, y) by class. Arguments as those of `breakage.breakage_matrix`."""
    edges, share = size_grid(edges_mm), column(fines_share)
    exponents = np.stack(np.broadcast_arrays(column(fines_exponent), column(coarse_exponent)))
    finer = edges**exponents
    of = np.stack([share, 1.0 - share]) * _over_parents(edges, exponents, points_mm)
    made = finer[..., :-1] - finer[..., 1:]

    def staying(edges_on: int) -> Array:
        """What of each parent is coarser than the limit so many edges on."""
        passes = (finer[..., edges_on:] * of[..., : of.shape[-1] + 1 - edges_on]).sum(axis=0)
        return np.asarray(1.0 - np.minimum(passes, 1.0))

    kept = staying(1)
    passed = np.zeros_like(kept)
    if points_mm is None:
        return TwoTerm(made, of, kept, passed, cells=1)
    to_points(made)
    # Within a class: of a point's rock as much stays with the point as of the finer one's, unless
    # more leaves its half.
    kept[:, 0::2] = np.minimum(kept[:, 1::2], kept[:, 0::2])
    passed[:, 0::2] = staying(2)[:, 0::2] - kept[:, 0::2]
    return TwoTerm(made, of, kept, passed, cells=2)


def _over_parents(edges: Array, exponents: Array, points_mm: ArrayLike | None) -> Array:
    """y^-exponent of each parent, (2, B, n): of the point that stands for its class, or its mean
    over the class.

    The mean is (u^a - l^a) / (a (u - l)) with a = 1 - exponent, written so that it also holds as a
    nears 0. The finest class breaks into nothing; its mean is not used.
    """
    if points_mm is not None:
        return np.asarray(np.asarray(points_mm) ** -exponents)
    upper, lower = edges[:-1], np.where(edges[1:] > 0.0, edges[1:], 0.5 * edges[:-1])
    power = 1.0 - exponents
    safe = np.where(np.abs(power) < 1e-12, 1e-12, power)
    mean: Array = -np.expm1(-safe * np.log(upper / lower)) / safe * upper**safe / (upper - lower)
    return mean


def repeated_two_term(breakage: TwoTerm, classified: Array) -> Array:
    """As `chamber.repeated_breakage`: (I - C)(I - B C)^-1 for chances C, (B, n, n)."""
    chances = classified[..., np.newaxis] if classified.ndim == 2 else classified
    cases = max(chances.shape[0], *(one.shape[1] for one in (breakage.made, breakage.of)))
    classes, cells = chances.shape[1], breakage.cells
    end = -(-broken_classes(chances) // cells) * cells
    parents = np.minimum(np.arange(end), chances.shape[2] - 1)  # finer ones share their chances
    operator = np.zeros((cases, classes, classes))
    unbroken = np.arange(end, classes)
    operator[:, unbroken, unbroken] = 1.0
    made, of = np.moveaxis(breakage.made, 0, 2), np.moveaxis(breakage.of, 0, 1)
    sums = np.zeros((cases, 2, end))  # over the coarser classes, of what is broken there
    for first in range(0, end, cells):
        width = first + cells
        here = slice(first, width)
        chance = chances[:, here].take(parents[:width], axis=2)
        leaving = 1.0 - breakage.kept[:, here, np.newaxis] * chance
        arriving = made[:, here] @ sums[:, :, :width]
        for cell in range(cells):
            arriving[:, cell, first + cell] += 1.0
            if cell:
                passed = breakage.passed[:, first, np.newaxis] * chance[:, 0]
                arriving[:, cell] += passed * arriving[:, 0]
            arriving[:, cell] /= leaving[:, cell]
        broken = chance * arriving
        np.subtract(arriving, broken, out=operator[:, here, :width])
        sums[:, :, :width] += of[:, :, here] @ broken
    operator[:, end:, :end] = made[:, end:] @ sums
    # Columns sum to 1 by algebra; this removes what rounding left.
    columns = operator[:, :, :end]
    columns /= columns.sum(axis=-2, keepdims=True)
    return operator
