"""Breakage from t10, against its definition, values worked by hand, and scipy."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.interpolate import PchipInterpolator
from scipy.linalg import solve_triangular

from hoggin.models.breakage import classification
from hoggin.models.following import energy_of_rock
from hoggin.models.grading import passing
from hoggin.models.t10 import appearance, t10, t10_breakage_matrix, t10_energy, t10_operator

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


@pytest.mark.parametrize("fraction", [0.03, 0.05, 0.2, 0.6])
def test_a_tenth_of_the_parent_passes_t10_by_definition(fraction: float) -> None:
    assert appearance(10.0, fraction=fraction) == pytest.approx(fraction, abs=1e-14)
    # and in the matrix: from parents of 100 mm in a thin class, t10 passes 10 mm
    progeny = t10_breakage_matrix([100.0001, 100.0, 50.0, 10.0, 2.0, 0.0], fraction=fraction)
    assert progeny[0, 3:, 0].sum() == pytest.approx(fraction, abs=1e-5)


def test_the_family_is_all_at_the_parents_size_and_nothing_at_none() -> None:
    assert appearance([1.0, math.inf], fraction=0.2)[0] == pytest.approx([1.0, 0.0], abs=0.0)


# The default appearance function of crushers, Napier-Munn et al. (1996), ch. 6; from memory.
TABLE_N = [75.0, 50.0, 25.0, 10.0, 4.0, 2.0]
TABLE = {
    0.10: [0.028, 0.033, 0.054, 0.10, 0.212, 0.496],
    0.20: [0.057, 0.072, 0.103, 0.20, 0.450, 0.749],
    0.30: [0.081, 0.108, 0.157, 0.30, 0.614, 0.852],
}


@pytest.mark.parametrize("fraction", TABLE)
def test_the_family_runs_through_the_table_for_crushers(fraction: float) -> None:
    assert appearance(TABLE_N, fraction=fraction)[0] == pytest.approx(TABLE[fraction], abs=1e-12)


@pytest.mark.parametrize("fraction", TABLE)
def test_between_the_table_it_is_near_a_cubic_of_scipy(fraction: float) -> None:
    """The exponent ln(1 - tn) / ln(1 - t10) by scipy's monotone cubic in log-log: the two differ in
    how they end only."""
    exponent = np.log(np.log1p(-np.array(TABLE[fraction][::-1])) / math.log1p(-fraction))
    curve = PchipInterpolator(np.log(np.array(TABLE_N[::-1]) - 1.0), exponent)
    at = np.array([5.0, 8.0, 15.0, 20.0, 30.0, 45.0])
    expected = 1.0 - (1.0 - fraction) ** np.exp(curve(np.log(at - 1.0)))
    assert appearance(at, fraction=fraction)[0] == pytest.approx(expected, abs=2e-3)


@given(fractions=st.lists(st.floats(0.005, 0.9), min_size=2, max_size=2, unique=True))
def test_more_t10_is_finer_at_every_n_and_less_passes_a_larger_n(fractions: list[float]) -> None:
    at = np.geomspace(1.01, 1000.0, 60)
    less, more = appearance(at, fraction=sorted(fractions))
    assert (more >= less - 1e-12).all()
    assert (np.diff(less) <= 1e-12).all() and (np.diff(more) <= 1e-12).all()


@pytest.mark.slow
def test_the_matrix_is_the_mean_over_parents_by_quadrature() -> None:
    found = t10_breakage_matrix(EDGES, fraction=0.25)[0]

    def finer(parent: float, size: float) -> float:
        return float(appearance(max(parent / size, 1.0), fraction=0.25)[0, 0])

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
    b = t10_breakage_matrix(EDGES, fraction=0.275336)[0]
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


@pytest.mark.slow
@settings(max_examples=150, deadline=None)
@given(
    ratios=st.lists(st.floats(1.02, 4.0), min_size=1, max_size=30),
    k1=st.floats(0.01, 3000.0),
    width=st.floats(0.01, 5.0),
    limit=st.floats(0.05, 0.95),
    scale=st.floats(0.1, 20.0),
    energy=st.floats(0.005, 10.0),
    exponent=st.floats(0.0, 1.0),
)
def test_mass_is_kept_and_no_particle_grows(
    ratios: list[float],
    k1: float,
    width: float,
    limit: float,
    scale: float,
    energy: float,
    exponent: float,
) -> None:
    edges = np.append(500.0 / np.cumprod([1.0, *ratios]), 0.0)
    operator = t10_operator(
        edges,
        k1=k1,
        k2=k1 * (1.0 + width),
        t10_limit=limit,
        energy_scale=scale,
        specific_energy=energy,
        size_exponent=exponent,
        usual_f80=50.0,
    )
    assert np.all(np.isfinite(operator))
    assert operator.min() >= -1e-15
    assert np.abs(operator.sum(axis=1) - 1.0).max() <= 1e-14
    assert np.triu(operator, 1) == pytest.approx(0.0, abs=0.0)


def test_a_t10_that_is_no_fraction_is_refused() -> None:
    for fraction in (0.0, 1.0):
        with pytest.raises(ValueError, match="t10"):
            t10_breakage_matrix(EDGES, fraction=fraction)


# --- energy of what is broken ------------------------------------------------------------------


def test_energy_is_that_of_every_breakage_by_scipy() -> None:
    """Tonnes broken by class, C (I - B C)^-1 f, times the energy of one breakage; B and C are the
    model's own. The threshold is 0.15 J m/kg = 0.0417 kWh mm/t (Vogel & Peukert 2003, memory)."""
    feed = np.linspace(3.0, 0.0, EDGES.size - 1)
    known = {"k1": 20.0, "k2": 55.0, "t10_limit": 0.5, "energy_scale": 1.25}
    found = t10_energy(EDGES, feed, specific_energy=0.2, **known)
    c = np.diag(classification(EDGES, k1=20.0, k2=55.0)[0])
    b = t10_breakage_matrix(EDGES, fraction=0.5 * (1.0 - math.exp(-0.2 / 1.25)))[0]
    identity = np.eye(c.shape[0])
    broken = c @ solve_triangular(identity - b @ c, feed, lower=True)
    sizes = np.sqrt(EDGES[:-2] * EDGES[1:-1])
    threshold = 0.15 / 3.6e6 * 1000.0 * 1000.0  # J m/kg in kWh mm/t
    each = np.append(0.2 + threshold / sizes, 0.0)
    assert found[0] == pytest.approx((broken * each).sum() / feed.sum(), rel=2e-3)


def test_rock_that_is_not_broken_costs_nothing() -> None:
    fine = np.where(EDGES[:-1] <= 18.0, 1.0, 0.0)
    known = {"k1": 20.0, "k2": 55.0, "t10_limit": 0.5, "energy_scale": 1.25}
    assert t10_energy(EDGES, fine, specific_energy=0.2, **known)[0] == 0.0
    assert t10_energy(EDGES, 0.0 * fine, specific_energy=0.2, **known)[0] == 0.0


@pytest.mark.parametrize("response", [0.3, 0.6, 1.0])
def test_a_tougher_rock_leaves_coarser_and_costs_more(response: float) -> None:
    """A chamber squeezes by its stroke: common practice, no source."""
    feed = np.where(EDGES[1:] >= 25.0, 1.0, 0.0)
    known: dict[str, Any] = {
        "k1": 12.0,
        "k2": 55.0,
        "specific_energy": 0.2,
        "energy_response": response,
        "t10_limit": [0.6, 0.5, 0.4],
        "energy_scale": [0.8, 1.25, 2.0],
    }
    finer = passing(EDGES, t10_operator(EDGES, **known) @ feed)[:, 6]
    assert (np.diff(finer) < 0.0).all()
    assert (np.diff(t10_energy(EDGES, feed, **known)) > 0.0).all()


def test_with_a_full_response_the_product_hardly_follows_the_rock() -> None:
    """t10 is A (1 - exp(-x / A)) then, x the usual Ecs over the usual toughness: A alone is left.
    By hand: 0.4 and 0.6 at x = 0.2 / 2.5 = 0.08 give 7.25 and 7.49 %, from A b 0.2 and 0.6."""
    known = {"specific_energy": 0.2, "energy_response": 1.0, "usual_toughness": 2.5}
    rock = {"t10_limit": np.array([0.4, 0.6]), "energy_scale": np.array([2.0, 1.0])}
    energy = energy_of_rock(**rock, **known)
    assert t10(**rock, specific_energy=energy) == pytest.approx([0.07251, 0.07490], abs=1e-5)
