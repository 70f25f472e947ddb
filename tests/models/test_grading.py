"""Gradings against scipy and hand-worked sums."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from hoggin.models.grading import (
    class_fractions,
    fineness_modulus,
    near_size,
    passing,
    passing_at,
    passing_at_each,
    pchip,
    size_at,
)

SIZES = np.array([900.0, 600.0, 300.0, 100.0, 20.0, 5.0])  # a scenario of our own
PASSING = np.array([1.0, 0.88, 0.61, 0.30, 0.08, 0.03])


@pytest.mark.slow
@settings(max_examples=200, deadline=None)
@given(
    steps=st.lists(st.floats(0.01, 3.0), min_size=1, max_size=15),
    rises=st.lists(st.one_of(st.just(0.0), st.floats(-2.0, 2.0)), min_size=15, max_size=15),
)
def test_pchip_is_scipys(steps: list[float], rises: list[float]) -> None:
    x = np.cumsum([0.0, *steps])
    y = np.cumsum([0.0, *rises[: len(steps)]])
    at = np.linspace(0.0, x[-1], 101)
    if x.size == 2:  # scipy makes the same straight line of two points
        assert pchip(x, y, at) == pytest.approx(np.interp(at, x, y), abs=1e-12)
    assert pchip(x, y, at) == pytest.approx(PchipInterpolator(x, y)(at), abs=1e-11)


def test_class_fractions_follow_scipys_pchip_in_the_logarithm_of_size() -> None:
    edges = np.append(np.geomspace(1000.0, 5.0, 60), 0.0)
    curve = PchipInterpolator(np.log(SIZES[::-1]), PASSING[::-1])
    expected = np.where(edges[:-1] >= 900.0, 1.0, curve(np.log(np.minimum(edges[:-1], 900.0))))
    fractions = class_fractions(edges, SIZES, PASSING)
    assert passing(edges, fractions)[0, :-1] == pytest.approx(expected, abs=1e-12)


def test_below_the_finest_point_the_grading_goes_on_with_its_last_slope() -> None:
    # By hand: slope ln(0.08/0.03) / ln(20/5) = 0.7075; at 1 mm 0.03 x (1/5)^0.7075 = 0.009606.
    edges = np.array([900.0, 5.0, 1.0, 0.0])
    fractions = class_fractions(edges, SIZES, PASSING)
    assert fractions[2] == pytest.approx(0.009606, abs=1e-6)
    assert fractions.sum() == pytest.approx(1.0, abs=1e-15)


def test_a_grading_with_nothing_below_its_finest_sieve_leaves_the_finer_classes_empty() -> None:
    fractions = class_fractions([40.0, 20.0, 10.0, 5.0, 0.0], [40.0, 20.0, 10.0], [1.0, 0.5, 0.0])
    assert fractions == pytest.approx([0.5, 0.5, 0.0, 0.0], abs=1e-15)


def test_rock_coarser_than_the_grid_falls_in_the_first_class() -> None:
    fractions = class_fractions([100.0, 50.0, 0.0], SIZES, PASSING)
    assert fractions.sum() == pytest.approx(1.0)
    assert fractions[0] > 0.7  # 70 % is coarser than 100 mm


@pytest.mark.slow
@settings(max_examples=200, deadline=None)
@given(st.data())
def test_class_fractions_are_never_negative_and_add_up(data: st.DataObject) -> None:
    count = data.draw(st.integers(2, 10))
    ratios = data.draw(st.lists(st.floats(1.05, 8.0), min_size=count, max_size=count))
    drops = data.draw(st.lists(st.floats(0.0, 1.0), min_size=count - 1, max_size=count - 1))
    sizes = 1000.0 / np.cumprod(ratios)
    finer = np.cumprod([1.0, *drops])
    edges = np.append(np.geomspace(2000.0, 0.063, 40), 0.0)
    fractions = class_fractions(edges, sizes, finer)
    assert fractions.min() >= -1e-12
    assert fractions.sum() == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize(
    ("sizes", "finer"),
    [
        ([10.0, 20.0], [1.0, 0.5]),
        ([20.0], [1.0]),
        ([20.0, 10.0], [0.9, 0.5]),
        ([20.0, 10.0, 5.0], [1.0, 0.5, 0.6]),
        ([20.0, 10.0], [1.0, -0.1]),
        ([20.0, 10.0, 5.0], [1.0, 0.5]),
    ],
)
def test_a_grading_that_is_none_is_refused(sizes: list[float], finer: list[float]) -> None:
    with pytest.raises(ValueError, match=r"grading|fraction"):
        class_fractions([50.0, 0.0], sizes, finer)


def test_fineness_modulus_of_a_worked_sand() -> None:
    # Textbook sand (Kosmatka & Wilson, Design and Control of Concrete Mixtures), from memory:
    # cumulative retained 2, 15, 35, 55, 79, 97 % on 4.75 mm to 150 um: 283 / 100 = 2.83.
    edges = [9.5, 4.75, 2.36, 1.18, 0.6, 0.3, 0.15, 0.0]
    retained = [2.0, 13.0, 20.0, 20.0, 24.0, 18.0, 3.0]
    assert fineness_modulus(edges, retained) == pytest.approx(2.83, abs=1e-9)


def test_fineness_modulus_of_one_size_counts_the_sieves_it_stays_on() -> None:
    # ASTM C136: all between 19 and 37.5 mm is retained on 19, 9.5 ... 150 um: 8 sieves.
    assert fineness_modulus([37.5, 19.0, 0.0], [1.0, 0.0]) == pytest.approx(8.0)
    assert np.isnan(fineness_modulus([37.5, 19.0, 0.0], [0.0, 0.0]))


# ASTM C136, the sieves of the fineness modulus, coarse to fine, mm.
C136 = (150.0, 75.0, 37.5, 19.0, 9.5, 4.75, 2.36, 1.18, 0.6, 0.3, 0.15)


@pytest.mark.parametrize(("place", "sieve"), list(enumerate(C136)))
def test_rock_stays_on_the_finer_sieves_of_the_modulus_alone(place: int, sieve: float) -> None:
    """By the definition: rock just coarser than a sieve stays on it and on all finer ones, rock
    just finer stays on the finer ones."""
    coarser, finer = ([1.001 * sieve, sieve, 0.0], [sieve, 0.999 * sieve, 0.0])
    assert fineness_modulus(coarser, [1.0, 0.0]) == pytest.approx(11 - place)
    assert fineness_modulus(finer, [1.0, 0.0]) == pytest.approx(10 - place)


def test_p80_on_a_log_straight_class() -> None:
    # By hand: 60 % below 10 mm, 100 % below 40 mm; 80 % lies half way in the logarithm: 20 mm.
    assert size_at([40.0, 10.0, 0.0], [0.4, 0.6], 0.8) == pytest.approx(20.0)
    # In the finest class mass is uniform in size: 30 % at half of 10 mm.
    assert size_at([40.0, 10.0, 0.0], [0.4, 0.6], 0.3) == pytest.approx(5.0)


def test_size_at_the_whole_mass_is_the_top_of_the_coarsest_class_with_any() -> None:
    assert size_at([80.0, 40.0, 10.0, 0.0], [0.0, 0.4, 0.6], 1.0) == pytest.approx(40.0)


def test_an_empty_stream_has_no_size_and_passes_nothing() -> None:
    edges, nothing = [40.0, 10.0, 0.0], [0.0, 0.0]
    assert np.isnan(size_at(edges, nothing, 0.8))
    assert passing(edges, nothing) == pytest.approx(np.zeros((1, 3)))
    assert passing_at(edges, nothing, 20.0) == 0.0


@pytest.mark.slow
@settings(max_examples=200, deadline=None)
@given(mass=st.lists(st.floats(0.01, 100.0), min_size=5, max_size=5), fraction=st.floats(1e-3, 1.0))
def test_size_at_undoes_passing_at(mass: list[float], fraction: float) -> None:
    edges = np.array([64.0, 31.5, 16.0, 8.0, 2.0, 0.0])
    size = size_at(edges, mass, fraction)
    assert passing_at(edges, mass, size) == pytest.approx(fraction, abs=1e-10)


@pytest.mark.parametrize("fraction", [0.0, 1.01, -0.2])
def test_a_fraction_outside_0_to_1_is_refused(fraction: float) -> None:
    with pytest.raises(ValueError, match="fraction"):
        size_at([40.0, 0.0], [1.0], fraction)


@pytest.mark.parametrize(
    "edges", [[10.0, 5.0], [0.0], [10.0, 10.0, 0.0], [5.0, 10.0, 0.0], [[10.0, 5.0, 0.0]]]
)
def test_class_limits_that_do_not_fall_to_nought_are_refused(edges: list[float]) -> None:
    with pytest.raises(ValueError, match="fall strictly"):
        passing(edges, [1.0, 1.0])


def test_near_size_by_hand() -> None:
    # Aperture 20: near size 15 to 25 (King 2001, ch. 4), half size below 10.
    edges = [60.0, 25.0, 20.0, 15.0, 10.0, 0.0]
    mass = [20.0, 10.0, 15.0, 25.0, 30.0]
    assert near_size(edges, mass, 20.0) == pytest.approx(0.25)


def test_a_batch_is_read_case_by_case() -> None:
    edges = np.array([64.0, 31.5, 16.0, 8.0, 2.0, 0.0])
    mass = np.array(
        [[1.0, 2.0, 3.0, 4.0, 5.0], [0.0, 0.0, 0.0, 0.0, 0.0], [9.0, 0.0, 0.0, 1.0, 1.0]]
    )
    together = size_at(edges, mass, 0.8)
    for row, size in zip(mass, together, strict=True):
        assert size == pytest.approx(size_at(edges, row, 0.8)[0], nan_ok=True)


def test_several_sizes_at_once_are_those_one_by_one() -> None:
    edges = np.array([100.0, 50.0, 20.0, 5.0, 1.0, 0.0])
    mass = np.array([[1.0, 2.0, 3.0, 4.0, 5.0], [0.0] * 5, [0.0, 0.0, 7.0, 0.0, 1.0]])
    sizes = [200.0, 100.0, 63.0, 20.0, 0.5, 0.01]
    at_once = passing_at_each(edges, mass, sizes)
    assert at_once.shape == (3, 6)
    for place, size in enumerate(sizes):
        assert at_once[:, place].tolist() == passing_at(edges, mass, size).tolist()
    assert passing_at_each(edges, mass, []).shape == (3, 0)
