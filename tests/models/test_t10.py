"""Breakage from t10, against its definition, values worked by hand, and scipy."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.linalg import solve_triangular

from hoggin.models.breakage import classification
from hoggin.models.grading import passing
from hoggin.models.t10 import appearance, t10, t10_breakage_matrix, t10_operator

EDGES = np.array([200.0, 141.0, 100.0, 71.0, 50.0, 35.5, 25.0, 18.0, 12.5, 9.0, 4.75, 1.0, 0.0])


def test_t10_rises_with_energy_by_its_equation() -> None:
    # Napier-Munn et al. (1996), ch. 4 (memory): t10 = A (1 - exp(-b Ecs)). By hand, A = 50 %,
    # b = 0.8 t/kWh: 0.5 (1 - e^-0.8) = 0.5 * 0.550671 = 0.275336 at 1 kWh/t; 0.5 far beyond.
    found = t10(t10_limit=0.5, energy_scale=1.0 / 0.8, specific_energy=[1.0, 1000.0])
    assert found == pytest.approx([0.275336, 0.5], abs=1e-6)


def test_at_low_energy_t10_rises_by_a_times_b() -> None:
    # The slope at no energy is A b by the equation's derivative.
    found = t10(t10_limit=0.5, energy_scale=1.0 / 0.8, specific_energy=1e-6)
    assert found == pytest.approx(0.4e-6, rel=1e-5)


@pytest.mark.parametrize("alpha", [0.4, 0.7, 1.2])
@pytest.mark.parametrize("fraction", [0.05, 0.2, 0.6])
def test_a_tenth_of_the_parent_passes_t10_by_definition(fraction: float, alpha: float) -> None:
    assert appearance(10.0, fraction=fraction, alpha=alpha) == pytest.approx(fraction, abs=1e-14)
    # and in the matrix: from parents of 100 mm in a thin class, t10 passes 10 mm
    progeny = t10_breakage_matrix(
        [100.0001, 100.0, 50.0, 10.0, 2.0, 0.0], fraction=fraction, alpha=alpha
    )
    assert progeny[0, 3:, 0].sum() == pytest.approx(fraction, abs=1e-5)


def test_the_family_is_all_at_the_parents_size_and_nothing_at_none() -> None:
    assert appearance([1.0, math.inf], fraction=0.2)[0] == pytest.approx([1.0, 0.0], abs=0.0)


def test_the_family_worked_by_hand() -> None:
    # King (2001), ch. 5 (memory), with alpha = 1: tn = 1 - (1 - t10)^(9 / (n - 1)).
    # t10 = 19 %: t4 = 1 - 0.81^3 = 0.468559; t19 = 1 - 0.81^0.5 = 0.1.
    found = appearance([4.0, 19.0], fraction=0.19, alpha=1.0)[0]
    assert found == pytest.approx([0.468559, 0.1], abs=1e-9)


@pytest.mark.parametrize(
    ("fraction", "t75", "t50", "t25", "t4", "t2"),
    [
        (0.10, 0.028, 0.033, 0.054, 0.212, 0.496),
        (0.20, 0.057, 0.072, 0.103, 0.450, 0.749),
        (0.30, 0.081, 0.108, 0.157, 0.614, 0.852),
    ],
)
def test_one_alpha_comes_near_the_table_for_crushers(
    fraction: float, t75: float, t50: float, t25: float, t4: float, t2: float
) -> None:
    """The default appearance function of crushers, Napier-Munn et al. (1996), ch. 6; the table
    is from memory. One parameter can't follow it everywhere: within 1 point for the fines, 11 for
    the coarse."""
    found = appearance([75.0, 50.0, 25.0, 4.0, 2.0], fraction=fraction)[0]
    assert found[:3] == pytest.approx([t75, t50, t25], abs=0.01)
    assert found[3:] == pytest.approx([t4, t2], abs=0.11)


def test_the_matrix_is_the_mean_over_parents_by_quadrature() -> None:
    found = t10_breakage_matrix(EDGES, fraction=0.25, alpha=0.7)[0]

    def finer(parent: float, size: float) -> float:
        below = parent / size - 1.0
        return 1.0 if below <= 0.0 else 1.0 - 0.75 ** ((9.0 / below) ** 0.7)

    for j in range(EDGES.size - 2):
        upper, lower = EDGES[j], EDGES[j + 1]
        mean = [1.0] * (j + 1)
        for size in EDGES[j + 1 : -1]:
            area, _ = quad(finer, lower, upper, args=(size,), epsabs=1e-11, limit=200)
            mean.append(area / (upper - lower))
        assert found[:, j] == pytest.approx(-np.diff([*mean, 0.0]), abs=1e-4)


def test_the_operator_is_the_matrix_product_evaluated_by_scipy() -> None:
    # Whiten (1972): p = (I - C)(I - B C)^-1 f.
    found = t10_operator(
        EDGES, k1=20.0, k2=55.0, t10_limit=0.5, energy_scale=1.25, specific_energy=1.0
    )[0]
    c = np.diag(classification(EDGES, k1=20.0, k2=55.0)[0])
    b = t10_breakage_matrix(EDGES, fraction=0.275336, alpha=0.7)[0]
    identity = np.eye(c.shape[0])
    expected = (identity - c) @ solve_triangular(identity - b @ c, identity, lower=True)
    assert found == pytest.approx(expected, abs=1e-6)


def test_more_energy_gives_a_finer_product() -> None:
    feed = np.full(EDGES.size - 1, 1.0 / (EDGES.size - 1))
    found = t10_operator(
        EDGES, k1=20.0, k2=55.0, t10_limit=0.5, energy_scale=1.25, specific_energy=[0.1, 0.4, 2.0]
    )
    finer = passing(EDGES, found @ feed)[:, 9]
    assert finer[0] < finer[1] < finer[2]


@settings(max_examples=150, deadline=None)
@given(
    ratios=st.lists(st.floats(1.02, 4.0), min_size=1, max_size=30),
    k1=st.floats(0.01, 3000.0),
    width=st.floats(0.01, 5.0),
    limit=st.floats(0.05, 0.95),
    scale=st.floats(0.1, 20.0),
    energy=st.floats(0.005, 10.0),
    alpha=st.floats(0.3, 1.5),
)
def test_mass_is_kept_and_no_particle_grows(
    ratios: list[float],
    k1: float,
    width: float,
    limit: float,
    scale: float,
    energy: float,
    alpha: float,
) -> None:
    edges = np.append(500.0 / np.cumprod([1.0, *ratios]), 0.0)
    operator = t10_operator(
        edges,
        k1=k1,
        k2=k1 * (1.0 + width),
        t10_limit=limit,
        energy_scale=scale,
        specific_energy=energy,
        alpha=alpha,
    )
    assert np.all(np.isfinite(operator))
    assert operator.min() >= -1e-15
    assert np.abs(operator.sum(axis=1) - 1.0).max() <= 1e-14
    assert np.triu(operator, 1) == pytest.approx(0.0, abs=0.0)


def test_a_t10_that_is_no_fraction_is_refused() -> None:
    for fraction in (0.0, 1.0):
        with pytest.raises(ValueError, match="t10"):
            t10_breakage_matrix(EDGES, fraction=fraction)
