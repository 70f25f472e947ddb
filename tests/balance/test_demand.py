"""Splitters by tonnage, against solutions that share none of the balance's code for them.

Small circuits by hand and by scipy.optimize (linprog, brentq, root); random plants against a plant
that starts empty and is filled pass by pass (demand_plants.marched), and against the same plant
written out with the shares that were found.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize

from hoggin.balance import CannotSettle, Remedy, balance, common_edges, lower, solve, stack
from hoggin.balance.result import Balance
from hoggin.schema.plant import Machine, Plant

from .builder import blend, by_tonnage, crusher, feed, plant, screen, splitter
from .demand_plants import asking, by_tonnages, marched, shares_under, tonnage_plant, with_shares
from .following_plants import random_following_plant
from .random_plants import random_plant
from .reference import Reference

FINE = ((4.0, 1.0), (2.0, 0.5))  # passes every screen and crusher here as it is


def rate(a_plant: Plant, result: Balance, stream: str, case: int = 0) -> float:
    names = [one.name for one in a_plant.streams]
    return float(result.streams_t_h[case, names.index(stream)].sum())


def rates(a_plant: Plant, result: Balance, *streams: str) -> list[float]:
    return [rate(a_plant, result, stream) for stream in streams]


@pytest.mark.parametrize(
    ("asked", "got"),
    [((0.0,), (0.0, 100.0)), ((90.0,), (90.0, 10.0)), ((100.0,), (100.0, 0.0)),
     ((150.0,), (100.0, 0.0)), ((20.0, 30.0), (20.0, 30.0, 50.0)),
     ((150.0, 50.0), (75.0, 25.0, 0.0)), ((0.0, 0.0), (0.0, 0.0, 100.0))],
)  # fmt: skip
def test_as_much_as_is_asked_while_there_is_enough_else_pro_rata(
    asked: tuple[float, ...], got: tuple[float, ...]
) -> None:
    outlets = [*(f"s{k}" for k in range(1, len(asked) + 1)), "rest"]
    a_plant = plant(
        [feed("rock", 100.0)],
        [by_tonnage("book", *asked)],
        ["rock -> book", *(f"book.{outlet} -> {outlet}_pile" for outlet in outlets)],
    )
    result = balance(a_plant)
    found = rates(a_plant, result, *(f"book.{outlet} -> {outlet}_pile" for outlet in outlets))
    assert found == pytest.approx(got, abs=1e-9)
    fractions = result.streams_t_h[0] / result.streams_t_h[0].sum(axis=1, keepdims=True).clip(1e-9)
    carrying = result.streams_t_h[0].sum(axis=1) > 1e-9
    assert np.ptp(fractions[carrying], axis=0).max() < 1e-12  # alike for every size class


@pytest.mark.parametrize("asked", [0.0, 50.0, 100.0, 300.0, 20_000.0])
def test_a_tonnage_that_goes_round_comes_on_top_of_the_feed(asked: float) -> None:
    # By hand: what leaves is the fresh feed, so the splitter is fed 100 t/h and what goes round,
    # even if no more than the fresh feed would be there to begin with.
    a_plant = plant(
        [feed("rock", 100.0)],
        [blend("belt"), by_tonnage("book", asked)],
        ["rock -> belt -> book", "book.s1 -> belt", "book.rest -> pile"],
    )
    result = balance(a_plant)
    assert rate(a_plant, result, "belt -> book") == pytest.approx(100.0 + asked, rel=1e-10)
    assert result.closure[0] < 1e-12
    assert result.recirculating_load("belt")[0] == pytest.approx(asked / 100.0, abs=1e-9)


def looped(sold: float, returned: float) -> Plant:
    """Rock that nothing sorts or breaks: a share of what goes round is lost, some of it sold."""
    return plant(
        [feed("rock", 100.0, grading=FINE)],
        [blend("belt"), by_tonnage("book", sold), splitter("divide", returned, 1.0 - returned)],
        ["rock -> belt -> book", "book.s1 -> sold",
         "book.rest -> divide", "divide.s1 -> belt", "divide.s2 -> lost"],
    )  # fmt: skip


@pytest.mark.slow
@settings(max_examples=60, deadline=None)
@given(sold=st.floats(0.0, 160.0), returned=st.floats(0.0, 0.99))
def test_a_loop_of_one_size_is_the_linear_programme_that_sells_the_most(
    sold: float, returned: float
) -> None:
    # Unknown: what the splitter is fed and sells. scipy.optimize.linprog (HiGHS).
    result = balance(looped(sold, returned))
    found = rates(looped(sold, returned), result, "belt -> book", "book.s1 -> sold")
    best = optimize.linprog(
        [0.0, -1.0],
        A_eq=[[1.0 - returned, returned]],
        b_eq=[100.0],
        A_ub=[[-1.0, 1.0]],
        b_ub=[0.0],
        bounds=[(0.0, None), (0.0, sold)],
    )
    assert best.success and best.x is not None
    assert found == pytest.approx(list(best.x), rel=1e-7, abs=1e-7)


def closed(sold: float, load_dependent: bool) -> Plant:
    """A crusher in closed circuit, of whose feed some is sold first."""
    return plant(
        [feed("rock", 100.0)],
        [
            screen("sizing", 20.0, load_dependent=load_dependent, area_m2=4.0),
            by_tonnage("book", sold),
            crusher("cone", 14.0),
        ],
        [
            "rock -> sizing",
            "sizing.d1.over -> book",
            "book.s1 -> sold",
            "book.rest -> cone -> sizing",
            "sizing.under -> fines",
        ],
    )


@pytest.mark.parametrize("sold", [10.0, 40.0, 75.0])
def test_a_closed_circuit_is_the_root_of_the_same_circuit_by_shares(sold: float) -> None:
    # The share that sells the tonnage: brentq around an independent sparse solution.
    a_plant = closed(sold, load_dependent=False)
    result = balance(a_plant)
    cuts = {key: float(value[0]) for key, value in result.cut_sizes_mm.items()}

    def fed(share: float) -> float:
        shared = with_shares(a_plant, {"book": {"s1": share, "rest": 1.0 - share}})
        feeds = Reference(shared, result.edges_mm).machine_feeds(cuts)
        return float(feeds[1].sum())

    share = optimize.brentq(lambda s: s * fed(s) - sold, 1e-6, 1.0, xtol=1e-14, rtol=1e-14)
    assert rate(a_plant, result, "sizing.d1.over -> book") == pytest.approx(fed(share), rel=1e-10)


@pytest.mark.parametrize("sold", [0.0, 25.0, 60.0, 95.0])
def test_cut_sizes_under_load_and_tonnages_are_found_together(sold: float) -> None:
    # scipy.optimize.root (MINPACK) of the cut size and the share at once, by the sparse solution.
    a_plant = closed(sold, load_dependent=True)
    result = balance(a_plant)
    key = ("sizing", "d1")

    def solved(z: np.ndarray) -> tuple[Reference, dict[tuple[str, str], float], np.ndarray]:
        share = float(np.clip(z[1], 0.0, 1.0))
        shared = with_shares(a_plant, {"book": {"s1": share, "rest": 1.0 - share}})
        reference = Reference(shared, result.edges_mm)
        cuts = {key: float(np.exp(z[0]))}
        return reference, cuts, reference.machine_feeds(cuts)

    def residual(z: np.ndarray) -> list[float]:
        reference, cuts, fed = solved(z)
        loaded = reference.loaded_cuts(fed, cuts)[key]
        return [np.log(loaded) - z[0], shares_under(a_plant.machines[1], fed[1].sum())["s1"] - z[1]]

    found = optimize.root(residual, [np.log(18.0), 0.5], method="hybr", tol=1e-13)
    assert np.abs(residual(found.x)).max() < 1e-10
    _, cuts, fed = solved(found.x)
    assert result.cut_sizes_mm[key][0] == pytest.approx(cuts[key], rel=1e-9)
    assert result.machine_feeds_t_h[0] == pytest.approx(fed, abs=1e-7)


@pytest.mark.parametrize("asked", [90.0, 99.9])
def test_a_loop_is_refused_that_more_enters_than_is_asked_of_it(asked: float) -> None:
    a_plant = plant(
        [feed("rock", 100.0)],
        [blend("belt"), by_tonnage("book", asked)],
        ["rock -> belt -> book", "book.s1 -> sold", "book.rest -> belt"],
    )
    with pytest.raises(CannotSettle, match="more rock enters it") as fault:
        balance(a_plant)
    assert fault.value.unsettled.remedy is Remedy.ASKED
    assert f"{asked:g} t/h of book" in fault.value.unsettled.reason


def test_all_that_enters_a_loop_may_be_asked_of_it() -> None:
    a_plant = plant(
        [feed("rock", 100.0)],
        [blend("belt"), by_tonnage("book", 120.0)],
        ["rock -> belt -> book", "book.s1 -> sold", "book.rest -> belt"],
    )
    result = balance(a_plant)
    assert rates(a_plant, result, "book.s1 -> sold", "book.rest -> belt") == pytest.approx(
        [100.0, 0.0], abs=1e-9
    )


def settled_plants(count: int, *, load_dependent: bool) -> list[tuple[Plant, Balance]]:
    """Of random plants with tonnages, those that have a balance."""
    found = []
    for seed in range(count):
        a_plant = tonnage_plant(seed, 4 + seed % 12, load_dependent=load_dependent)
        if any(asking(a_plant)):
            try:
                found.append((a_plant, balance(a_plant)))
            except CannotSettle as fault:
                assert (
                    fault.unsettled.remedy is Remedy.ASKED
                    or "returns" in str(fault)
                    or "nothing" in str(fault)
                )
    assert len(found) > count / 3
    return found


@pytest.mark.slow
def test_random_plants_lose_nothing_and_give_what_is_asked() -> None:
    for a_plant, result in settled_plants(150, load_dependent=True):
        entering = sum(one.rate_t_h for one in a_plant.feeds)
        assert result.closure[0] < 1e-11
        products = [s for s, one in enumerate(a_plant.streams) if one.target.startswith("pile")]
        leaving = float(result.streams_t_h[0, products].sum())
        assert leaving == pytest.approx(entering, rel=1e-9)
        for machine in asking(a_plant):
            _check_rule(a_plant, result, machine, 1e-9 * entering)


def _check_rule(a_plant: Plant, result: Balance, machine: Machine, tolerance: float) -> None:
    fed = float(result.machine_feeds_t_h[0, result.machines.index(machine.tag)].sum())
    shares = shares_under(machine, fed)
    for index, stream in enumerate(a_plant.streams):
        if stream.source == machine.tag:
            got = float(result.streams_t_h[0, index].sum())
            assert got == pytest.approx(shares[stream.outlet] * fed, abs=tolerance)


@pytest.mark.slow
def test_random_plants_are_those_that_start_empty_and_fill() -> None:
    for a_plant, result in settled_plants(40, load_dependent=True):
        cuts = {key: float(value[0]) for key, value in result.cut_sizes_mm.items()}
        filled = marched(a_plant, result.edges_mm, cuts)
        entering = sum(one.rate_t_h for one in a_plant.feeds)
        assert np.abs(result.machine_feeds_t_h[0] - filled).max() < 1e-8 * entering


@pytest.mark.slow
def test_what_is_refused_never_stops_filling() -> None:
    refused = 0
    for seed in range(80):
        count = 4 + seed % 12
        a_plant = tonnage_plant(seed, count, load_dependent=False)
        try:
            balance(a_plant)
        except CannotSettle:
            shared = balance(random_plant(seed, count, load_dependent=False, materials=1))
            cuts = {key: float(value[0]) for key, value in shared.cut_sizes_mm.items()}
            with pytest.raises(AssertionError, match="still filling"):
                marched(a_plant, shared.edges_mm, cuts, passes=3000)
            refused += 1
    assert refused > 3


@pytest.mark.slow
def test_a_plant_by_the_shares_that_were_found_is_the_same_plant() -> None:
    for a_plant, result in settled_plants(40, load_dependent=True):
        _check_by_shares(a_plant, result)


@pytest.mark.slow
def test_crushers_that_follow_their_feed_are_met_with_the_tonnages() -> None:
    met = 0
    for seed in range(140):
        try:
            a_plant = by_tonnages(random_following_plant(seed, 5 + seed % 9), seed)
            result = balance(a_plant)
        except CannotSettle:
            continue
        if any(asking(a_plant)):
            _check_by_shares(a_plant, result)
            met += result.iterations > 1
    assert met > 10


def _check_by_shares(a_plant: Plant, result: Balance) -> None:
    """That the plant is the same with the shares in place of the tonnages."""
    shares = {}
    for machine in asking(a_plant):
        fed = float(result.machine_feeds_t_h[0, result.machines.index(machine.tag)].sum())
        shares[machine.tag] = shares_under(machine, fed)
    shared = balance(with_shares(a_plant, shares))
    scale = result.machine_feeds_t_h.sum(axis=2).max()
    assert np.abs(shared.streams_t_h - result.streams_t_h).max() < 1e-8 * scale
    assert np.abs(shared.first_pass_t_h - result.first_pass_t_h).max() < 1e-8 * scale


@pytest.mark.parametrize("load_dependent", [False, True])
def test_a_batch_of_tonnages_is_each_of_them_alone(load_dependent: bool) -> None:
    plants = [closed(sold, load_dependent) for sold in (0.0, 3.0, 40.0, 80.0, 80.5, 90.0, 400.0)]
    edges = common_edges(plants)
    together = solve(stack([lower(one, edges) for one in plants]))
    for case, one in enumerate(plants):
        alone = solve(lower(one, edges))
        assert together.streams_t_h[case] == pytest.approx(alone.streams_t_h[0], abs=1e-9)
    assert together.closure.max() < 1e-12


def test_refused_cases_of_a_batch_are_named() -> None:
    def one(asked: float) -> Plant:
        return plant(
            [feed("rock", 100.0)],
            [blend("belt"), by_tonnage("book", asked)],
            ["rock -> belt -> book", "book.s1 -> sold", "book.rest -> belt"],
        )

    plants = [one(asked) for asked in (150.0, 60.0, 110.0, 99.0)]
    edges = common_edges(plants)
    with pytest.raises(CannotSettle) as fault:
        solve(stack([lower(a_plant, edges) for a_plant in plants]))
    assert fault.value.unsettled.cases == (1, 3)
