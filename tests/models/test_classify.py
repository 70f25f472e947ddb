"""Wet classification against its definition and scipy's quadrature."""

from __future__ import annotations

from math import exp, log

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from hoggin.models.classify import settling_coarse, settling_cut_size

EDGES = np.array([2.0, 1.0, 0.5, 0.25, 0.125, 0.063, 0.0])


def test_half_of_the_cut_size_settles_by_definition() -> None:
    """d50c is the size that is parted in halves (any text on classification), without bypass."""
    narrow = np.array([0.2002, 0.1998, 0.0])
    coarse = settling_coarse(narrow, np.array([0.2]), sharpness=2.5, bypass=0.0)
    assert coarse[0, 0] == pytest.approx(0.5, abs=1e-4)


def test_the_finest_go_with_the_water_by_the_bypass() -> None:
    tiny = np.array([1e-6, 0.0])
    coarse = settling_coarse(tiny, np.array([0.2]), sharpness=2.5, bypass=0.12)
    assert coarse[0, 0] == pytest.approx(0.12, abs=1e-9)


def test_each_class_is_the_mean_of_plitts_curve_over_it() -> None:
    """Plitt (1971, 1976) in Rosin-Rammler form, from memory; the mean by scipy.integrate.quad."""

    def curve(size: float) -> float:
        return 0.1 + 0.9 * (1 - exp(-log(2) * (size / 0.3) ** 2.2))

    found = settling_coarse(EDGES, np.array([0.3]), sharpness=2.2, bypass=0.1)[0]
    for upper, lower, ours in zip(EDGES[:-1], EDGES[1:], found, strict=True):
        assert ours == pytest.approx(quad(curve, lower, upper)[0] / (upper - lower), abs=2e-5)


@given(st.floats(0.01, 5), st.floats(0.5, 10), st.floats(0, 0.9))
def test_coarser_classes_settle_no_less(cut: float, sharpness: float, bypass: float) -> None:
    found = settling_coarse(EDGES, np.array([cut]), sharpness=sharpness, bypass=bypass)[0]
    assert np.all((found >= 0) & (found <= 1 + 1e-12))
    assert np.all(np.diff(found) <= 1e-12)


def test_the_cut_is_the_classes_own_in_every_case() -> None:
    assert settling_cut_size(EDGES, np.ones((3, 6)), d50=0.15).tolist() == [0.15] * 3
