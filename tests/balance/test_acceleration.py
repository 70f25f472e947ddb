"""Anderson acceleration against scipy.optimize.root and fixed points known in closed form."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import optimize

from hoggin.balance.acceleration import fixed_point

Array = NDArray[np.float64]


def test_cosine_converges_to_the_dottie_number() -> None:
    """cos(z) = z at 0.7390851332151607 (OEIS A003957)."""
    start = np.array([[0.0], [1.0], [-2.0]])
    found = fixed_point(lambda z: (np.cos(z), None), start, tolerance=1e-13, limit=50)
    assert found.converged.all()
    np.testing.assert_allclose(found.point, 0.7390851332151607, rtol=1e-12)
    assert found.iterations < 15  # the plain iteration takes about 75


def test_stiff_map_that_plain_iteration_cannot_follow() -> None:
    """z -> A z + b with an eigenvalue of -3: plain iteration diverges."""
    matrix, offset = np.array([[0.3, 0.2], [0.1, -3.0]]), np.array([0.2, 1.0])
    found = fixed_point(
        lambda z: (z @ matrix.T + offset, None), np.zeros((1, 2)), tolerance=1e-12, limit=100
    )
    assert found.converged.all()
    np.testing.assert_allclose(
        found.point[0], np.linalg.solve(np.eye(2) - matrix, offset), rtol=1e-9
    )


def test_batch_of_nonlinear_maps_agrees_with_scipy() -> None:
    draw = np.random.default_rng(3)
    gain = draw.uniform(0.2, 1.5, (20, 4))

    def g(z: Array, gain: Array = gain) -> Array:
        value: Array = np.cos(gain * np.roll(z, 1, axis=-1)) + 0.1 * z
        return value

    found = fixed_point(lambda z: (g(z), None), np.zeros((20, 4)), tolerance=1e-12, limit=200)
    assert found.converged.all()
    for case in range(20):

        def residual(z: Array, gain: Array = gain[case]) -> Array:
            change: Array = g(z[None], gain)[0] - z
            return change

        reference = optimize.root(residual, found.point[case] + 0.01, tol=1e-13)
        np.testing.assert_allclose(found.point[case], reference.x, rtol=1e-8, atol=1e-9)


def test_map_without_a_fixed_point_is_reported_not_returned() -> None:
    found = fixed_point(lambda z: (z + 1.0, None), np.zeros((2, 1)), tolerance=1e-12, limit=20)
    assert not found.converged.any()


def test_outcome_belongs_to_the_point() -> None:
    found = fixed_point(lambda z: (np.cos(z), z.copy()), np.zeros((1, 1)), tolerance=1e-9, limit=50)
    assert found.outcome == pytest.approx(found.point, abs=0)
