"""What reaches a machine for the first time, against independent solutions.

The textbook's circulating load is that of a closed circuit of one crusher and one screen: oversize
returned over fresh feed (e.g. Lynch 1977, Mineral Crushing and Grinding Circuits; from memory).
Larger circuits: a machine is cut in scipy's solution of the same equations (reference.py), and in
an absorbing Markov chain (Kemeny and Snell 1960, Finite Markov Chains, ch. 3: the chance of ever
reaching a state is the expected visits to it over those that begin there).
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import sparse
from scipy.sparse.linalg import spsolve

from hoggin.balance import balance, common_edges, lower, solve, stack
from hoggin.balance.result import Balance
from hoggin.schema.plant import Plant

from .builder import blend, closed_tertiary, crusher, feed, plant, screen, splitter
from .random_plants import random_plant
from .reference import Reference
from .test_against_scipy import two_nested_loops
from .varying import vary


def number(a_plant: Plant, tag: str) -> int:
    return [machine.tag for machine in a_plant.machines].index(tag)


def rate(a_plant: Plant, result: Balance, stream: str) -> float:
    names = [one.name for one in a_plant.streams]
    return float(result.streams_t_h[0, names.index(stream)].sum())


@pytest.mark.parametrize("load_dependent", [False, True])
def test_crusher_first_one_screen_is_the_textbooks_at_both_machines(load_dependent: bool) -> None:
    a_plant = plant(
        [feed("rock", 100.0)],
        [
            crusher("cone", 25.0),
            blend("belt"),
            screen("sizing", 40.0, load_dependent=load_dependent),
        ],
        ["rock -> cone -> belt -> sizing", "sizing.d1.over -> cone", "sizing.under -> fines"],
    )
    result = balance(a_plant)
    textbook = rate(a_plant, result, "sizing.d1.over -> cone") / 100.0
    assert textbook > 0.1
    for tag in ("cone", "belt", "sizing"):
        assert result.recirculating_load(tag)[0] == pytest.approx(textbook, rel=1e-9)


def test_screen_first_is_the_textbooks_where_fresh_feed_enters() -> None:
    a_plant = closed_tertiary()
    result = balance(a_plant)
    returned = rate(a_plant, result, "cone -> sizing")
    fresh = rate(a_plant, result, "jaw -> sizing")
    assert result.recirculating_load("sizing")[0] == pytest.approx(returned / fresh, rel=1e-9)


def test_screen_first_the_crusher_counts_only_what_it_gets_again() -> None:
    # The same circuit opened behind the crusher, balanced by itself: the fresh feed is screened
    # once, and its oversize meets the crusher for the first time.
    a_plant = closed_tertiary()
    open_circuit = a_plant.model_copy(
        update={
            "streams": tuple(
                one.model_copy(update={"target": "fines"}) if one.source == "cone" else one
                for one in a_plant.streams
            )
        }
    )
    edges = common_edges([a_plant, open_circuit])
    result, once = (solve(lower(one, edges)) for one in (a_plant, open_circuit))
    first = rate(open_circuit, once, "sizing.d1.over -> cone")
    fresh, fed = (rate(a_plant, result, s) for s in ("jaw -> sizing", "cone -> sizing"))
    assert 0.0 < first < fed
    assert result.recirculating_load("cone")[0] == pytest.approx((fed - first) / fresh, rel=1e-9)


def test_a_share_that_is_sent_back_is_a_geometric_series() -> None:
    # A third goes round each time: 1/3 + 1/9 + ... = 1/2 comes back.
    a_plant = plant(
        [feed("rock", 90.0)],
        [blend("pile"), splitter("divide", 1 / 3, 2 / 3)],
        ["rock -> pile -> divide", "divide.s1 -> pile", "divide.s2 -> out"],
    )
    result = balance(a_plant)
    for tag in ("pile", "divide"):
        assert result.recirculating_load(tag)[0] == pytest.approx(0.5, rel=1e-12)


def test_outside_loops_all_comes_for_the_first_time() -> None:
    a_plant = closed_tertiary()
    result = balance(a_plant)
    assert result.first_pass_t_h[0, number(a_plant, "jaw")] == pytest.approx(100.0)
    assert result.recirculating_load("jaw")[0] == 0.0


def check_against_cuts(a_plant: Plant) -> None:
    """Every machine of a loop, cut in scipy's solution at the same cut sizes."""
    edges = common_edges([a_plant])
    result = solve(lower(a_plant, edges))
    cuts = {key: float(cut[0]) for key, cut in result.cut_sizes_mm.items()}
    for tag in (tag for loop in result.loops for tag in loop.machines):
        where = number(a_plant, tag)
        cut = a_plant.model_copy(
            update={
                "streams": tuple(
                    one.model_copy(update={"target": "lost"}) if one.source == tag else one
                    for one in a_plant.streams
                )
            }
        )
        expected = Reference(cut, edges).machine_feeds(cuts)[where].sum()
        assert result.first_pass_t_h[0, where] == pytest.approx(expected, rel=1e-8, abs=1e-9)


@pytest.mark.parametrize("load_dependent", [False, True])
def test_nested_loops_are_those_of_scipy_with_the_machine_cut(load_dependent: bool) -> None:
    check_against_cuts(two_nested_loops(load_dependent=load_dependent))


@pytest.mark.slow
@settings(deadline=None, max_examples=25)
@given(seed=st.integers(0, 10**6), count=st.integers(2, 18))
def test_random_loops_are_those_of_scipy_with_the_machine_cut(seed: int, count: int) -> None:
    check_against_cuts(random_plant(seed, count, load_dependent=False, materials=1))


@pytest.mark.slow
@settings(deadline=None, max_examples=25)
@given(seed=st.integers(0, 10**6), count=st.integers(2, 14))
def test_splitters_and_blends_are_an_absorbing_markov_chain(seed: int, count: int) -> None:
    """No sizes: what is routed by shares alone. First visits are expected visits, times the chance
    that a visit is the last: N[j, j] is the expected number of visits from j to j."""
    random = np.random.default_rng(seed)
    shares = random.uniform(0.05, 0.6, count)
    machines = [splitter(f"m{i}", share, 1.0 - share) for i, share in enumerate(shares)]
    routes = ["rock -> m0"]
    chain = np.zeros((count, count))
    for i, machine in enumerate(machines):
        back = int(random.integers(0, i + 1))
        routes += [
            f"m{i}.s1 -> m{back}",
            f"m{i}.s2 -> " + (f"m{i + 1}" if i + 1 < count else "out"),
        ]
        chain[i, back] += machine.shares["s1"]
        if i + 1 < count:
            chain[i, i + 1] += machine.shares["s2"]
    visits = spsolve(sparse.csc_array(np.eye(count) - chain), np.eye(count)).reshape(count, count)
    result = balance(plant([feed("rock", 100.0)], machines, routes))
    first = 100.0 * visits[0] / np.diag(visits)
    assert result.first_pass_t_h[0] == pytest.approx(first, rel=1e-9)
    assert result.machine_feeds_t_h[0].sum(axis=1) == pytest.approx(100.0 * visits[0], rel=1e-9)


def test_cases_of_a_batch_are_those_alone() -> None:
    rates = np.array([60.0, 110.0, 240.0])
    a_plant = two_nested_loops(load_dependent=True)
    together = solve(vary(lower(a_plant), rates_t_h={"rock": rates}))
    plants = [
        a_plant.model_copy(
            update={
                "feeds": tuple(
                    f.model_copy(update={"rate_t_h": float(r)}) if f.tag == "rock" else f
                    for f in a_plant.feeds
                )
            }
        )
        for r in rates
    ]
    edges = common_edges(plants)
    stacked = solve(stack([lower(one, edges) for one in plants]))
    for case, one in enumerate(plants):
        alone = solve(lower(one, edges))
        assert together.first_pass_t_h[case] == pytest.approx(alone.first_pass_t_h[0], rel=1e-9)
        assert stacked.first_pass_t_h[case] == pytest.approx(alone.first_pass_t_h[0], rel=1e-9)
