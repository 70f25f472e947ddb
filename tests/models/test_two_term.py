"""Breakage as running sums, against numpy's solution of the same equations as matrices."""

from __future__ import annotations

import numpy as np
import pytest

from hoggin.models.arrays import Array
from hoggin.models.points import halves, points
from hoggin.models.two_term import repeated_two_term, two_term

CLASSES = np.append(np.geomspace(200.0, 0.1, 30), 0.0)
CASES = 3


def chances(cells: int, own: int, random: np.random.Generator) -> Array:
    """Falling from coarse to fine, some columns of their own; the finest half is not broken."""
    shape = (CASES, cells, own + 1) if own else (CASES, cells)
    found = -np.sort(-random.uniform(0.0, 0.99, shape), axis=1)
    found[:, cells // 2 :] = 0.0
    return found


@pytest.mark.parametrize("own", [0, 7, 40])
@pytest.mark.parametrize("at_points", [False, True])
def test_repeated_breakage_is_the_solution_of_its_equations(at_points: bool, own: int) -> None:
    edges = halves(CLASSES) if at_points else CLASSES
    random = np.random.default_rng(own)
    breakage = two_term(
        edges,
        fines_share=random.uniform(0.1, 0.5, CASES),
        fines_exponent=random.uniform(0.4, 1.0, CASES),
        coarse_exponent=random.uniform(2.0, 6.0, CASES),
        points_mm=points(CLASSES) if at_points else None,
    )
    cells = len(edges) - 1
    classified = chances(cells, min(own, cells - 1), random)
    found = repeated_two_term(breakage, classified)
    columns = classified[..., np.newaxis] if classified.ndim == 2 else classified
    for case, matrix in enumerate(breakage.matrix()):
        for parent in range(cells):
            chance = columns[case, :, min(parent, columns.shape[2] - 1)]
            fed = np.eye(cells)[parent]
            arriving = np.linalg.solve(np.eye(cells) - matrix * chance, fed)
            expected = (1.0 - chance) * arriving
            np.testing.assert_allclose(found[case, :, parent], expected, rtol=1e-10, atol=1e-14)


@pytest.mark.parametrize("at_points", [False, True])
def test_a_breakage_loses_nothing_and_makes_nothing_coarser(at_points: bool) -> None:
    matrix = two_term(
        halves(CLASSES) if at_points else CLASSES,
        fines_share=0.3,
        fines_exponent=0.6,
        coarse_exponent=np.array([4.0, 9.0]),
        points_mm=points(CLASSES) if at_points else None,
    ).matrix()
    np.testing.assert_allclose(matrix.sum(axis=1), 1.0, rtol=1e-12)
    assert (matrix >= 0.0).all()
    assert not np.triu(matrix, 1).any()
