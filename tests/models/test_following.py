"""Regressions on the feed's F80, and t10 of blends.

References: worked by hand from the linear form of Napier-Munn et al. (1996), ch. 6 (from memory);
numpy.polyfit, which finds the slopes again; the definition of t10 as a mass fraction.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoggin.models.breakage import classification, whiten_operator
from hoggin.models.following import blended_t10, classification_sizes, t10_of_feed
from hoggin.models.t10 import t10, t10_operator

EDGES = np.append(np.geomspace(200.0, 0.1, 34), 0.0)


def test_k1_and_k2_are_lines_in_f80() -> None:
    """numpy's least squares finds the coefficients again, and no residual."""
    f80 = np.linspace(40.0, 160.0, 25)
    k1, k2 = classification_sizes(
        k1=20.0, k2=60.0, k1_feed=0.04, k2_feed=0.25, usual_f80=100.0, f80_mm=f80
    )
    (slope1, at1), left1, *_ = np.polyfit(f80 - 100.0, k1, 1, full=True)
    (slope2, at2), left2, *_ = np.polyfit(f80 - 100.0, k2, 1, full=True)
    assert [slope1, at1, slope2, at2] == pytest.approx([0.04, 20.0, 0.25, 60.0], rel=1e-10)
    assert max(*left1, *left2) < 1e-20


sizes = st.floats(0.1, 500.0)


@given(
    k1=sizes,
    ratio=st.floats(1.01, 6.0),
    slopes=st.tuples(st.floats(0.0, 1.0), st.floats(0.0, 3.0)),
    usual=st.floats(0.0, 1000.0),
    f80=st.floats(0.01, 2000.0),
)
def test_whatever_the_feed_the_chamber_can_be_worked_out(
    k1: float, ratio: float, slopes: tuple[float, float], usual: float, f80: float
) -> None:
    lower, upper = classification_sizes(
        k1=k1, k2=ratio * k1, k1_feed=slopes[0], k2_feed=slopes[1], usual_f80=usual, f80_mm=f80
    )
    assert 0.0 < lower[0] < upper[0]
    broken = classification(EDGES, k1=lower, k2=upper)
    assert ((broken >= 0.0) & (broken <= 1.0)).all()


@given(k1=sizes, ratio=st.floats(1.001, 6.0), f80=st.floats(0.01, 2000.0))
def test_slopes_of_nought_change_no_bit(k1: float, ratio: float, f80: float) -> None:
    k2 = ratio * k1
    found = classification_sizes(k1=k1, k2=k2, k1_feed=0.0, k2_feed=0.0, usual_f80=7.0, f80_mm=f80)
    assert (found[0][0], found[1][0]) == (k1, k2)
    assert t10_of_feed(0.123, t10_feed=0.0, usual_f80=0.0, f80_mm=f80)[0] == 0.123


def test_an_operator_without_f80_is_that_of_the_class() -> None:
    plain = whiten_operator(EDGES, k1=20.0, k2=60.0)
    silent = whiten_operator(EDGES, k1=20.0, k2=60.0, k1_feed=0.1, k2_feed=0.3, usual_f80=50.0)
    usual = whiten_operator(
        EDGES, k1=20.0, k2=60.0, k1_feed=0.1, k2_feed=0.3, usual_f80=50.0, f80_mm=50.0
    )
    assert plain.tobytes() == silent.tobytes() == usual.tobytes()


@pytest.mark.slow
@given(f80=st.floats(1.0, 400.0), share=st.floats(0.0, 1.0))
def test_columns_sum_to_one_whatever_the_feed(f80: float, share: float) -> None:
    operator = t10_operator(
        EDGES,
        k1=15.0,
        k2=45.0,
        t10_limit=[[0.4, 0.6]],
        energy_scale=[[2.0, 0.8]],
        specific_energy=0.2,
        k1_feed=0.1,
        k2_feed=0.4,
        t10_feed=-0.03,
        usual_f80=70.0,
        f80_mm=f80,
        rock_shares=[[share, 1.0 - share]],
    )
    np.testing.assert_allclose(operator.sum(axis=1), 1.0, rtol=0, atol=1e-12)
    assert (operator >= 0.0).all()


def test_t10_moves_in_proportion_to_the_feed_beyond_the_usual() -> None:
    """10 % - 2 % at twice the usual F80, - 1 % half way there, + 1 % at half of it: by hand."""
    found = t10_of_feed(0.10, t10_feed=-0.02, usual_f80=60.0, f80_mm=[120.0, 90.0, 60.0, 30.0])
    np.testing.assert_allclose(found, [0.08, 0.09, 0.10, 0.11], atol=1e-15)
    ends = t10_of_feed(0.10, t10_feed=-0.5, usual_f80=10.0, f80_mm=[1000.0, 0.0])
    np.testing.assert_allclose(ends, [0.01, 0.60])


def test_t10_can_t_be_counted_from_no_usual_feed() -> None:
    with pytest.raises(ValueError, match="usual_f80 above 0"):
        t10_of_feed(0.1, t10_feed=0.02, usual_f80=0.0, f80_mm=50.0)


def test_t10_of_a_blend_is_the_share_finer_than_a_tenth_of_all_its_pieces() -> None:
    """Definition: 250 g of a rock of t10 8 % and 750 g of one of 20 % leave 20 g and 150 g."""
    limits, energy = np.array([[0.08, 0.20]]), 1e-3  # energy far over the scale: t10 is its limit
    found = blended_t10(
        t10_limit=limits,
        energy_scale=[[energy, energy]],
        specific_energy=1.0,
        rock_shares=[[0.25, 0.75]],
    )
    assert found[0] == pytest.approx((20.0 + 150.0) / 1000.0)


def test_a_blend_of_one_rock_is_that_rock() -> None:
    own = {"t10_limit": 0.48, "energy_scale": 1.1}
    plain = t10(**own, specific_energy=0.2)
    one_hot = blended_t10(
        t10_limit=[[0.3, 0.48]],
        energy_scale=[[2.0, 1.1]],
        specific_energy=0.2,
        rock_shares=[[0.0, 1.0]],
    )
    assert one_hot[0] == plain[0]
    assert blended_t10(**own, specific_energy=0.2, rock_shares=[[0.4, 0.6]])[0] == pytest.approx(
        plain[0], rel=1e-15
    )
