"""Particle shape: the definition of the flakiness index, the balance of a class, stated trends."""

from __future__ import annotations

import numpy as np
import pytest
from fluids.particle_size_distribution import ISO_3310_1_R20
from hypothesis import given
from hypothesis import strategies as st

from hoggin.models.shape import (
    COVERED_MM,
    FRACTIONS_MM,
    class_flakiness,
    crushed,
    even_share,
    flakiness_index,
    flaky_undersize,
    measured_mass,
    near_setting_share,
)

# Classes whose middles in log size are 80, 40, 20, 10, 5 mm and (half the limit) 1.77 mm.
DOUBLING = np.array([80.0, 40.0, 20.0, 10.0, 5.0, 2.5]) * np.sqrt(2.0)
EDGES = np.array([*DOUBLING, 0.0])
SIZES = np.array([80.0, 40.0, 20.0, 10.0, 5.0])

shares = st.floats(0.0, 1.0)


def near(css: float = 20.0, f80: float = 60.0, p80: float = 20.0, **more: float) -> list[float]:
    given_ = {"best": 0.1, "rise_finer": 0.03, "rise_coarser": 0.08, **more}
    found = near_setting_share(EDGES, f80, p80, css=css, **given_)
    return [float(share) for share in found[0]]


# -- the flakiness index ----------------------------------------------------------------------


def test_the_index_is_what_passes_the_bar_sieves_over_what_was_tested() -> None:
    """EN 933-3, FI = 100 M2 / M1 (from memory), worked by hand: of 300 g of 10/12.5, 45 g pass the
    bar sieve, of 500 g of 8/10, 60 g, of 200 g of 6.3/8, 40 g: 145 g of 1000 g are 14.5 %."""
    edges = np.array([12.5, 10.0, 8.0, 6.3, 0.0])
    mass = np.array([300.0, 500.0, 200.0, 0.0])
    flaky = np.array([45.0, 60.0, 40.0, 0.0])
    assert flakiness_index(edges, mass, flaky)[0] == pytest.approx(0.145, abs=1e-15)
    assert flakiness_index(edges, mass, flaky, 8.0, 10.0)[0] == pytest.approx(0.12, abs=1e-15)


def test_sizes_under_4_mm_and_over_100_mm_are_not_tested() -> None:
    """EN 933-3:2012, scope (from memory)."""
    edges = np.array([200.0, 100.0, 8.0, 4.0, 0.0])
    mass = np.array([50.0, 100.0, 100.0, 700.0])
    flaky = np.array([50.0, 10.0, 20.0, 700.0])
    assert COVERED_MM == (4.0, 100.0)
    assert measured_mass(edges, mass)[0] == pytest.approx(200.0)
    assert flakiness_index(edges, mass, flaky)[0] == pytest.approx(0.15)


def test_sand_alone_has_no_index() -> None:
    assert np.isnan(flakiness_index(np.array([4.0, 2.0, 0.0]), [10.0, 5.0], [1.0, 1.0])[0])


def test_the_fractions_are_those_of_the_r10_sieves() -> None:
    """EN 933-3 tests on R10 sieves (from memory): every second one of ISO 3310-1's R20, counted
    from 100 mm, as the library fluids has them."""
    r20 = sorted((1000.0 * sieve.opening for sieve in ISO_3310_1_R20), reverse=True)
    wanted = [size for size in r20 if 3.9 < size < 100.1][::2]
    np.testing.assert_allclose(FRACTIONS_MM, wanted, rtol=1e-12)


# -- mixing, crushing, slots -------------------------------------------------------------------


def test_a_crusher_keeps_the_shape_of_what_it_leaves_unbroken() -> None:
    """By hand: of 100 t/h a fifth stays in its class, which is all there is left of it; of the
    next class's product of 130 t/h, 50 t/h came through and 80 t/h are new, flaky to 10 %."""
    kept, made = crushed([[100.0, 50.0]], [[0.2, 1.0]], [[20.0, 130.0]], [[0.3, 0.1]])
    np.testing.assert_allclose(kept, [[0.2, 1.0]])
    np.testing.assert_allclose(made, [[0.0, 8.0]])


@given(shares, shares, shares, shares)
def test_crushed_rock_is_between_the_shape_it_came_with_and_that_it_was_given(
    unbroken: float, flaky: float, fresh: float, gained: float
) -> None:
    """A mixture lies between its parts (mixing rule)."""
    product = 100.0 * (unbroken + gained)
    kept, made = crushed([[100.0]], [[unbroken]], [[product]], [[fresh]])
    out = kept[0, 0] * 100.0 * flaky + made[0, 0]
    assert min(flaky, fresh) * product - 1e-9 <= out <= max(flaky, fresh) * product + 1e-9


def test_a_slotted_deck_shares_out_as_worked_by_hand() -> None:
    """Half of a class falls through, a fifth of it is flaky, flakes go 1.5 times as readily:
    0.2 x 1.5 s + 0.8 s = 0.5, so s = 0.4545 of the others and 0.6818 of the flakes."""
    assert flaky_undersize([[0.5]], [[0.2]], [[1.5]])[0, 0] == pytest.approx(0.75 / 1.1)


@given(st.floats(0.001, 1.0), shares, shares)
def test_a_slotted_deck_passes_in_all_what_the_mass_balance_says(
    undersize: float, flaky: float, part: float
) -> None:
    """Conservation of mass; and no share leaves 0 to 1, nor do flakes go less readily."""
    advantage = 1.0 + part * (1.0 / undersize - 1.0)
    of_flakes = float(flaky_undersize([[undersize]], [[flaky]], [[advantage]])[0, 0])
    of_others = of_flakes / advantage
    assert flaky * of_flakes + (1.0 - flaky) * of_others == pytest.approx(undersize, rel=1e-12)
    assert undersize * (1 - 1e-12) <= of_flakes <= 1.0


def test_a_feeds_flakiness_is_read_between_the_sizes_it_was_measured_at() -> None:
    """Linear in log size, by hand: 20 mm is half-way from 40 mm to 10 mm; flat beyond."""
    found = class_flakiness(EDGES, [10.0, 40.0], [0.10, 0.30])
    np.testing.assert_allclose(found[:5], [0.30, 0.30, 0.20, 0.10, 0.10], rtol=1e-12)
    np.testing.assert_allclose(class_flakiness(EDGES, [1.0], [0.2]), 0.2)


# -- freshly broken rock -----------------------------------------------------------------------


def test_each_doubling_and_halving_from_the_setting_adds_its_rise() -> None:
    """By hand from the form: 10 % at the 20 mm setting, 3 % a halving, 8 % a doubling."""
    np.testing.assert_allclose(near()[:5], [0.26, 0.18, 0.10, 0.13, 0.16], rtol=1e-12)
    # Half the limit of the last class is 3.5 halvings below 20 mm: 10 % + 3.5 x 3 %.
    assert near()[5] == pytest.approx(0.205, rel=1e-12)


def test_the_figures_of_a_class_that_states_none_are_those_of_the_docstring() -> None:
    """Common practice, no source: 4 % a halving, 10 % a doubling, a usual ratio of 3 to the power
    0.3, speed to the power -0.5, 50 % at most. By hand at a ratio of 6 and a speed of 1.21 times
    the usual: 10 % x 1.23114 / 1.1 = 11.192 % at the setting."""
    plain = near_setting_share(EDGES, 60.0, 20.0, css=20.0, best=0.1)[0]
    np.testing.assert_allclose(plain[:5], [0.30, 0.20, 0.10, 0.14, 0.18], rtol=1e-12)
    longer = near_setting_share(EDGES, 120.0, 20.0, css=20.0, best=0.1, speed_ratio=1.21)[0]
    assert longer[2] == pytest.approx(0.11192, abs=1e-5)
    assert near_setting_share(EDGES, 60.0, 20.0, css=20.0, best=0.9).max() == 0.5
    np.testing.assert_allclose(even_share(EDGES, share=0.1, speed_ratio=4.0), 0.05, rtol=1e-12)


@given(st.floats(2.0, 120.0))
def test_shape_is_best_near_the_setting_and_worse_either_way(css: float) -> None:
    """Bengtsson & Evertsson (2006), from memory."""
    found = near(css)[:5]
    best = int(np.argmin(found))
    nearest = int(np.argmin(np.abs(np.log(SIZES / css))))
    assert abs(best - nearest) <= 1
    assert found[: best + 1] == sorted(found[: best + 1], reverse=True)
    assert found[best:] == sorted(found[best:])


@given(st.floats(2.0, 8.0), st.floats(1.01, 3.0))
def test_a_longer_reduction_step_makes_more_flakes(ratio: float, more: float) -> None:
    """Bengtsson & Evertsson (2006), from memory."""
    short, long = near(f80=20.0 * ratio, most=1.0), near(f80=20.0 * ratio * more, most=1.0)
    assert all(b > a for a, b in zip(short, long, strict=True))


@given(st.floats(0.5, 1.5), st.floats(1.01, 2.0))
def test_speed_makes_fewer_flakes(speed: float, more: float) -> None:
    """Common practice, no source."""
    slow, fast = near(speed_ratio=speed), near(speed_ratio=speed * more)
    assert all(b < a for a, b in zip(slow, fast, strict=True))
    even = [even_share(EDGES, share=0.1, speed_ratio=s)[0, 0] for s in (speed, speed * more)]
    assert even[1] < even[0]


def test_what_a_rotor_breaks_is_alike_in_every_size() -> None:
    np.testing.assert_allclose(even_share(EDGES, share=0.07), 0.07)


@given(st.floats(1.0, 500.0), st.floats(0.05, 0.6), st.floats(0.1, 0.9))
def test_a_share_stays_a_share(css: float, best: float, most: float) -> None:
    assert all(0.0 <= share <= most for share in near(css, best=best, most=most))


def test_an_empty_crusher_has_the_flakiness_of_the_usual_step() -> None:
    assert near(f80=float("nan"), p80=float("nan")) == near(f80=60.0, p80=20.0, usual_ratio=3.0)


@pytest.mark.parametrize("wrong", ["css", "usual_ratio", "speed_ratio"])
def test_what_must_be_above_nothing_is_refused(wrong: str) -> None:
    with pytest.raises(ValueError, match=wrong):
        near(**{wrong: 0.0})
    with pytest.raises(ValueError, match="speed_ratio"):
        even_share(EDGES, share=0.1, speed_ratio=0.0)
