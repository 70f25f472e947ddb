"""The size grid keeps the sieves a plant reports on. Reference: ISO 565 R20/3 ratio 10^(3/20)."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoggin.balance import common_edges, lower
from hoggin.models.points import at_points, in_halves, points
from hoggin.schema.plant import Plant

from .builder import blend, feed, plant, screen

sizes = st.floats(0.05, 150.0).map(lambda size: float(f"{size:.3g}"))


def one_screen(sieves: tuple[float, ...], *apertures: float) -> Plant:
    machine = screen("sizing", *apertures)
    routes = [f"sizing.{outlet} -> pile{k}" for k, outlet in enumerate(machine.outlets)]
    return plant([feed("rock")], [machine], ["rock -> sizing", *routes], sieves=sieves)


@pytest.mark.slow
@given(
    sieves=st.lists(sizes, min_size=1, max_size=12, unique=True),
    apertures=st.lists(sizes, min_size=1, max_size=4, unique=True),
)
def test_every_sieve_and_aperture_limits_a_class_and_halves_are_finer_than_any_sieve_series(
    sieves: list[float], apertures: list[float]
) -> None:
    a_plant = one_screen(tuple(sorted(sieves, reverse=True)), *sorted(apertures, reverse=True))
    edges = common_edges([a_plant])
    limits = edges[::2]
    assert (np.diff(edges) < 0.0).all()
    assert edges[0] == 200.0
    assert limits[-1] == 0.0
    assert limits[-2] == min([0.063, *sieves, *apertures])
    assert set(sieves) | set(apertures) <= set(limits.tolist())
    assert (edges[:-3] / edges[1:-2]).max() < 10.0 ** (
        2 / 20
    )  # of ISO 565 R 20: half a step of R 20/3 and more


@given(sieves=st.lists(sizes, min_size=1, max_size=12, unique=True))
def test_classes_are_halved_at_the_middle_of_their_log_size(sieves: list[float]) -> None:
    edges = common_edges([one_screen(tuple(sorted(sieves, reverse=True)), 20.0)])
    upper, middle, lower = edges[:-3:2], edges[1:-2:2], edges[2:-1:2]
    np.testing.assert_allclose(middle**2, upper * lower, rtol=1e-12)


def test_sieves_coarser_than_the_feed_are_kept_whole() -> None:
    edges = common_edges([one_screen((800.0, 100.0), 50.0)])
    assert edges[::2][:2].tolist() == [800.0, 200.0]


def test_two_points_give_the_sums_of_cubics_over_a_class_exactly() -> None:
    """Gauss's rule of two points: Abramowitz & Stegun (1964), 25.4.29. Sums of log size cubed."""
    limits = np.array([64.0, 32.0, 8.0, 1.0, 0.0])
    at = np.log(points(limits)).reshape(-1, 2)[:-1]
    upper, lower = np.log(limits[:-2]), np.log(limits[1:-1])
    for power in range(4):
        exact = (upper ** (power + 1) - lower ** (power + 1)) / (power + 1) / (upper - lower)
        np.testing.assert_allclose((at**power).mean(axis=1), exact, rtol=1e-12)


@given(st.lists(st.floats(0.0, 1e3), min_size=2, max_size=20).filter(lambda x: len(x) % 2 == 0))
def test_masses_at_points_and_in_halves_are_never_negative_and_sum_alike(
    masses: list[float],
) -> None:
    given_ = np.array(masses)
    for found in (at_points(given_), in_halves(given_)):
        assert (found >= 0.0).all()
        np.testing.assert_allclose(
            found[::2] + found[1::2], given_[::2] + given_[1::2], rtol=1e-12, atol=1e-300
        )
    np.testing.assert_allclose(at_points(in_halves(given_)), given_, rtol=1e-9, atol=1e-9)


def test_feed_classes_add_up_to_its_grading() -> None:
    a_plant = plant([feed("rock")], [blend("belt")], ["rock -> belt -> pile"])
    circuit = lower(a_plant)
    finer = 1.0 - np.cumsum(circuit.gradings[0, 0])
    for size, passing in a_plant.feeds[0].grading:
        if size in circuit.edges_mm[1:-1]:
            index = int(np.flatnonzero(circuit.edges_mm == size)[0])
            assert finer[index - 1] == pytest.approx(passing, abs=1e-12)
    assert circuit.gradings.sum() == pytest.approx(1.0)
