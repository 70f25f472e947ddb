"""Mixes against scipy's linear programme, hand-worked bands and conservation."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from hoggin.models.blending import best_shares


def least_margin(mix: np.ndarray, low: np.ndarray, high: np.ndarray) -> float:
    """In half widths of the band at the sieve, which are taken as at least half a per cent."""
    half = np.maximum((high - low) / 2.0, 0.005)
    below, above = ((mix - low) / half)[low > 0.0], ((high - mix) / half)[high < 1.0]
    return float(np.concatenate([below, above, [2.0]]).min())


def margin_by_scipy(passing: np.ndarray, low: np.ndarray, high: np.ndarray) -> float:
    """The same programme by HiGHS, through scipy.optimize.linprog."""
    needs, allows = low > 0.0, high < 1.0
    half = np.maximum((high - low) / 2.0, 0.005)
    rows = np.vstack([-passing.T[needs], passing.T[allows]])
    widths = np.concatenate([half[needs], half[allows]])
    bounds = np.concatenate([-low[needs], high[allows]])
    found = linprog(
        [*[0.0] * len(passing), -1.0],
        A_ub=np.column_stack([rows, widths]) if len(rows) else None,
        b_ub=bounds if len(rows) else None,
        A_eq=[[*[1.0] * len(passing), 0.0]],
        b_eq=[1.0],
        bounds=[*[(0.0, None)] * len(passing), (None, 2.0)],
    )
    assert found.success
    return -float(found.fun or 0.0)


@pytest.mark.slow
@settings(max_examples=300, deadline=None)
@given(
    seed=st.integers(0, 2**32 - 1),
    gradings=st.integers(1, 6),
    sieves=st.integers(1, 12),
    rounded=st.booleans(),
)
def test_the_margin_is_that_of_scipys_linear_programme(
    seed: int, gradings: int, sieves: int, rounded: bool
) -> None:
    random = np.random.default_rng(seed)
    passing = -np.sort(-random.uniform(size=(gradings, sieves)), axis=1)
    limits = np.sort(random.uniform(size=(2, sieves)), axis=0)
    low, high = -np.sort(-limits, axis=1)
    if rounded:  # to a tenth: whole limits and ties, which make a simplex cycle
        passing, low, high = (np.round(a, 1) for a in (passing, low, high))
        low = np.minimum(low, 0.9)
    shares = best_shares(passing, low, high)
    assert shares.min() >= 0.0
    assert shares.sum() == pytest.approx(1.0, abs=1e-12)
    expected = margin_by_scipy(passing, low, high)
    assert least_margin(shares @ passing, low, high) == pytest.approx(expected, abs=1e-9)


def test_two_gradings_are_mixed_to_the_middle_of_a_one_sieve_band() -> None:
    # By hand: 80 % and 20 % passing to 30 to 50 %: the middle, 40 %, takes a third of the first.
    shares = best_shares([[0.8], [0.2]], [0.3], [0.5])
    assert shares == pytest.approx([1.0 / 3.0, 2.0 / 3.0])


def test_a_mix_of_three_sizes_worked_by_hand() -> None:
    # Three single sizes, 20/10, 10/5 and under 5 mm, to 60 to 80 % at 10 mm and 20 to 40 % at 5 mm.
    # The middles, 70 and 30 %, are met by 30, 40 and 30 %, with a margin of 10 %.
    passing = [[1.0, 0.0, 0.0], [1.0, 1.0, 0.0], [1.0, 1.0, 1.0]]
    shares = best_shares(passing, [1.0, 0.6, 0.2], [1.0, 0.8, 0.4])
    assert shares == pytest.approx([0.3, 0.4, 0.3])


def test_where_no_mix_lies_inside_the_nearest_is_found() -> None:
    # By hand: all pass at least 60 %, wanted at most 50 %: the finer is left out, missed by 10 %.
    shares = best_shares([[0.9], [0.6]], [0.2], [0.5])
    assert shares == pytest.approx([0.0, 1.0])


def test_oversize_is_kept_out_of_a_mix_whose_top_sieve_must_pass_all() -> None:
    # The first grading would improve the fine sieve, but 5 % of it is over the top sieve.
    passing = [[0.95, 0.10], [1.0, 0.40], [1.0, 0.20]]
    shares = best_shares(passing, [1.0, 0.05], [1.0, 0.15])
    assert shares[0] <= 0.0005 / 0.05 + 1e-12  # a twentieth of one per cent over, no more
    assert shares[1] == 0.0


def test_where_all_have_oversize_the_one_with_least_is_taken() -> None:
    shares = best_shares([[0.80, 0.5], [0.97, 0.5]], [1.0, 0.2], [1.0, 0.8])
    assert shares == pytest.approx([0.0, 1.0])


def test_one_grading_is_its_own_mix() -> None:
    assert best_shares([[0.5, 0.1]], [0.2, 0.0], [0.8, 0.4]) == pytest.approx([1.0])


@pytest.mark.parametrize(
    ("passing", "low"), [([[0.5, 0.2]], [0.1]), (np.zeros((0, 1)), [0.1]), ([0.5], [0.1])]
)
def test_gradings_that_do_not_fit_the_band_are_refused(passing: object, low: list[float]) -> None:
    with pytest.raises(ValueError, match="mix needs"):
        best_shares(passing, low, [0.9])  # type: ignore[arg-type]


def test_a_narrow_limit_that_is_met_does_not_keep_the_mix_from_the_middle() -> None:
    # By hand: 2 % at most above, met with nothing; 20 to 60 % between, its middle is half and half.
    passing = [[1.0, 0.0], [1.0, 0.8]]
    assert best_shares(passing, [0.98, 0.2], [1.0, 0.6]) == pytest.approx([0.5, 0.5])
