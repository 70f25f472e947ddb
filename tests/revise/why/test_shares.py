"""Shares of a game against their definition, their axioms and games of the literature."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoggin.revise.why.shares import draw_orders, exact_shares, sampled_shares, sets_of

_WORTH = st.floats(-1e3, 1e3, allow_nan=False)


def games(most: int = 5) -> st.SearchStrategy[np.ndarray]:
    return st.integers(1, most).flatmap(
        lambda n: st.lists(_WORTH, min_size=1 << n, max_size=1 << n).map(np.array)
    )


def players_of(worths: np.ndarray) -> int:
    return len(worths).bit_length() - 1


def by_definition(worths: np.ndarray) -> list[float]:
    """Shapley (1953): what a player adds to those before it, averaged over all n! orders."""
    players = players_of(worths)
    orders = list(permutations(range(players)))
    shares = [0.0] * players
    for order in orders:
        joined = 0
        for player in order:
            shares[player] += worths[joined | 1 << player] - worths[joined]
            joined |= 1 << player
    return [share / len(orders) for share in shares]


@given(games())
def test_exact_shares_are_the_mean_over_all_orders(worths: np.ndarray) -> None:
    assert exact_shares(worths) == pytest.approx(by_definition(worths), abs=1e-9)


# The axioms that single out the Shapley value; Shapley (1953), from memory.


@pytest.mark.slow
@given(games(8))
def test_efficiency_shares_add_up_to_the_whole_change(worths: np.ndarray) -> None:
    assert exact_shares(worths).sum() == pytest.approx(worths[-1] - worths[0], abs=1e-8)


@pytest.mark.slow
@given(games(), st.data())
def test_symmetry_players_that_add_the_same_share_the_same(
    worths: np.ndarray, data: st.DataObject
) -> None:
    players = players_of(worths)
    one = data.draw(st.integers(0, players - 1))
    other = data.draw(st.integers(0, players - 1))
    alike = worths.copy()
    for joined in range(len(worths)):  # with one of the two it is the same which
        if joined >> one & 1 and not joined >> other & 1:
            alike[joined ^ (1 << one) ^ (1 << other)] = alike[joined]
    shares = exact_shares(alike)
    assert shares[one] == pytest.approx(shares[other], abs=1e-9)


@pytest.mark.slow
@given(games(), st.data())
def test_null_player_what_adds_nothing_to_any_set_has_no_share(
    worths: np.ndarray, data: st.DataObject
) -> None:
    idle = data.draw(st.integers(0, players_of(worths) - 1))
    sets = np.arange(len(worths))
    without = worths[sets & ~(1 << idle)]
    shares = exact_shares(without)
    assert shares[idle] == 0.0
    others = [i for i in range(players_of(worths)) if i != idle]
    smaller = [
        worths[sum(1 << p for k, p in enumerate(others) if s >> k & 1)]
        for s in range(len(worths) // 2)
    ]
    if others:  # and the others share as if it were not there
        assert shares[others] == pytest.approx(exact_shares(np.array(smaller)), abs=1e-9)


@pytest.mark.slow
@given(games(4), games(4))
def test_additivity_shares_of_a_sum_of_games_are_sums_of_shares(
    one: np.ndarray, other: np.ndarray
) -> None:
    size = min(len(one), len(other))
    one, other = one[:size], other[:size]
    both = exact_shares(one + other)
    assert both == pytest.approx(exact_shares(one) + exact_shares(other), abs=1e-8)


def test_the_glove_game() -> None:
    # Two hold a left glove, one the right; a pair is worth 1. A textbook example of the Shapley
    # value, from memory: 1/6, 1/6 and 4/6.
    worths = np.array([float((s & 0b011) != 0 and (s & 0b100) != 0) for s in range(8)])
    assert exact_shares(worths) == pytest.approx([1 / 6, 1 / 6, 4 / 6])


def test_the_airport_game() -> None:
    # Littlechild and Owen (1973), Manage. Sci. 20(3), 370-372, from memory: a runway's cost is that
    # of its largest user, and each stretch is shared evenly by those that need it.
    costs = [1.0, 2.0, 4.0]
    worths = np.array(
        [max((c for i, c in enumerate(costs) if s >> i & 1), default=0.0) for s in range(8)]
    )
    stretches = [1 / 3, 1 / 3 + 1 / 2, 1 / 3 + 1 / 2 + 2.0]
    assert exact_shares(worths) == pytest.approx(stretches)


def test_worths_that_are_not_those_of_all_sets_are_refused() -> None:
    with pytest.raises(ValueError, match="all sets"):
        exact_shares(np.zeros(6))


def test_an_order_goes_through_the_sets_that_come_about() -> None:
    assert sets_of([2, 0, 1]) == [0, 0b100, 0b101, 0b111]
    assert sets_of([70])[-1] == 1 << 70


def test_each_order_is_drawn_with_its_reverse_and_by_its_seed() -> None:
    orders = draw_orders(6, 7, seed=3)
    assert orders.shape == (8, 6)
    assert (orders[::2] == orders[1::2, ::-1]).all()
    assert (np.sort(orders, axis=1) == np.arange(6)).all()
    assert (draw_orders(6, 7, seed=3) == orders).all()
    assert (draw_orders(6, 7, seed=4) != orders).any()


def _sampled(worths: np.ndarray, count: int, seed: int) -> tuple[np.ndarray, np.ndarray]:
    orders = draw_orders(players_of(worths), count, seed)
    return sampled_shares(orders, dict(enumerate(worths.tolist())))


def test_sampled_shares_lie_within_three_standard_errors_of_the_exact() -> None:
    # Of a normal deviate 99.7 % do; the mean of 50 pairs is near enough to one for 97 %.
    worths = np.random.default_rng(11).normal(size=64).cumsum()
    exact = exact_shares(worths)
    inside = []
    for seed in range(60):
        shares, errors = _sampled(worths, 100, seed)
        inside += list(np.abs(shares - exact) <= 3 * errors)
    assert np.mean(inside) >= 0.97


def test_the_standard_error_is_the_spread_between_samples() -> None:
    worths = np.random.default_rng(5).normal(size=32).cumsum()
    drawn = [_sampled(worths, 80, seed) for seed in range(200)]
    spread = np.std([shares for shares, _ in drawn], axis=0)
    told = np.mean([errors for _, errors in drawn], axis=0)
    assert told == pytest.approx(spread, rel=0.25)


@given(games(6), st.integers(1, 9), st.integers(0, 5))
def test_sampled_shares_too_add_up_to_the_whole_change(
    worths: np.ndarray, count: int, seed: int
) -> None:
    shares, _ = _sampled(worths, count, seed)
    assert shares.sum() == pytest.approx(worths[-1] - worths[0], abs=1e-8)


@settings(max_examples=30)
@given(st.lists(_WORTH, min_size=2, max_size=6))
def test_an_additive_game_is_sampled_without_error(adds: list[float]) -> None:
    worths = np.array(
        [sum(a for i, a in enumerate(adds) if s >> i & 1) for s in range(1 << len(adds))]
    )
    shares, errors = _sampled(worths, 8, 0)
    assert shares == pytest.approx(adds, abs=1e-9)
    assert errors == pytest.approx(np.zeros(len(adds)), abs=1e-9)
