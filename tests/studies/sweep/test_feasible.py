"""Stretches of straight margins, worked by hand."""

from __future__ import annotations

import numpy as np
import pytest

from hoggin.studies.sweep.feasible import stretches

X = np.array([10.0, 20.0, 30.0, 40.0])
NONE = np.nan


@pytest.mark.parametrize(
    ("margins", "expected"),
    [
        ([[1, 1, 1, 1]], [(10, 40)]),
        ([[-1, 1, 1, -3]], [(15, 32.5)]),
        ([[-1, -1, -1, -1]], []),
        ([[1, -1, -1, 1]], [(10, 15), (35, 40)]),
        # One is met up to 32.5, the other from 25 on: together between, at one step
        ([[1, 1, 1, -3], [-1, -1, 1, 1]], [(25, 32.5)]),
        # ... or at none: met up to 26 and from 24 on, both within one step.
        ([[1, 3, -2, -2], [-2, -2, 3, 1]], [(24, 26)]),
        ([[0, -1, 0, -1]], [(10, 10), (30, 30)]),
        # Nothing is met beside a step without a balance, but at the steps themselves.
        ([[1, 1, NONE, 1]], [(10, 20), (40, 40)]),
    ],
)
def test_stretches(margins: list[list[float]], expected: list[tuple[float, float]]) -> None:
    found = stretches(X, np.array(margins, dtype=float))
    assert len(found) == len(expected)
    for one, other in zip(found, expected, strict=True):
        assert one == pytest.approx(other)


def test_without_requirements_all_of_it_is_one_stretch() -> None:
    assert stretches(X, np.zeros((0, 4))) == ((10.0, 40.0),)
