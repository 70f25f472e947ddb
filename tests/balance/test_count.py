"""Equal machines in parallel against the same plant with each of them written out, by the balance
itself and by an independent solution of the same equations by scipy (see reference.py)."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from hoggin.balance import balance, lower, solve, stack
from hoggin.balance.grid import common_edges
from hoggin.balance.result import Array, Balance
from hoggin.schema.plant import Plant

from .builder import closed_tertiary, feed, plant, screen
from .random_plants import random_plant
from .reference import Reference
from .written_out import written_out


def counted(whole: Plant, seed: int) -> Plant:
    """The plant with one to four of each machine that can stand in parallel."""
    random = Random(seed)
    machines = [
        machine.model_copy(update={"count": float(random.randint(1, 4))})
        if machine.kind in ("crusher", "screen")
        else machine
        for machine in whole.machines
    ]
    return whole.model_copy(update={"machines": tuple(machines)})


def into_products(whole: Plant, streams: Array) -> dict[str, Array]:
    """What each product gets, by class."""
    found: dict[str, Array] = {}
    for stream, flow in zip(whole.streams, streams, strict=True):
        if stream.target in {product.tag for product in whole.products}:
            found[stream.target] = found.get(stream.target, 0.0) + flow
    return found


def fed(solved: Balance, tag: str) -> Array:
    feeds: Array = solved.machine_feeds_t_h[0, solved.machines.index(tag)]
    return feeds


PLANTS = {
    "closed circuit": closed_tertiary(load_dependent=True, rate=700.0),
    **{f"random {seed}": random_plant(seed, 12) for seed in range(8)},
}


@pytest.mark.parametrize("name", PLANTS)
def test_flows_are_those_of_the_machines_written_out(name: str) -> None:
    together = counted(PLANTS[name], 7)
    apart = written_out(together)
    edges = common_edges([together, apart])
    one, other = (solve(lower(each, edges)) for each in (together, apart))
    for machine in together.machines:
        number = int(machine.count)
        single = machine.tag if number == 1 else f"{machine.tag}_1"
        np.testing.assert_allclose(
            fed(one, machine.tag), number * fed(other, single), rtol=1e-9, atol=1e-9
        )
        for deck in machine.decks:
            assert one.cut_sizes_mm[machine.tag, deck.name] == pytest.approx(
                other.cut_sizes_mm[single, deck.name], rel=1e-9
            )
    products = into_products(apart, other.streams_t_h[0])
    for tag, flow in into_products(together, one.streams_t_h[0]).items():
        np.testing.assert_allclose(flow, products[tag], rtol=1e-9, atol=1e-9)


@pytest.mark.slow
def test_flows_are_those_of_scipys_root_finder_on_the_machines_written_out() -> None:
    together = counted(closed_tertiary(load_dependent=True, rate=700.0), 3)
    assert {machine.tag: machine.count for machine in together.machines}["sizing"] > 1
    found = balance(together)
    apart = written_out(together)
    reference = Reference(apart, found.edges_mm)
    expected = into_products(apart, reference.streams(reference.settle()))
    for tag, flow in into_products(together, found.streams_t_h[0]).items():
        np.testing.assert_allclose(flow, expected[tag], rtol=1e-8, atol=1e-8)


@pytest.mark.parametrize("number", [1.0, 2.0, 3.0, 7.0, 100.0])
def test_no_count_makes_or_loses_rock(number: float) -> None:
    whole = closed_tertiary(load_dependent=True, rate=500.0)
    machines = tuple(m.model_copy(update={"count": number}) for m in whole.machines)
    found = balance(whole.model_copy(update={"machines": machines}))
    assert found.closure[0] <= 1e-9
    leaving = sum(flow.sum() for flow in into_products(whole, found.streams_t_h[0]).values())
    assert leaving == pytest.approx(500.0, rel=1e-9)


def test_two_screens_cut_as_one_does_under_half_the_feed() -> None:
    def sized(rate: float, number: float) -> Balance:
        sizing = screen("sizing", 20.0, 8.0, load_dependent=True)
        return balance(
            plant(
                [feed("rock", rate)],
                [sizing.model_copy(update={"count": number})],
                [
                    "rock -> sizing",
                    "sizing.d1.over -> a",
                    "sizing.d2.over -> b",
                    "sizing.under -> c",
                ],
            )
        )

    two, one = sized(400.0, 2.0), sized(200.0, 1.0)
    crowded = sized(400.0, 1.0)
    for deck in ("d1", "d2"):
        cut = one.cut_sizes_mm["sizing", deck][0]
        assert two.cut_sizes_mm["sizing", deck][0] == pytest.approx(cut, rel=1e-12)
        assert crowded.cut_sizes_mm["sizing", deck][0] != pytest.approx(cut, rel=1e-3)


def test_plants_that_differ_in_counts_are_cases_of_one_batch() -> None:
    whole = closed_tertiary(load_dependent=True, rate=600.0)
    plants = [counted(whole, seed) for seed in range(4)]
    edges = common_edges(plants)
    together = solve(stack([lower(each, edges) for each in plants]))
    for case, each in enumerate(plants):
        alone = solve(lower(each, edges))
        np.testing.assert_allclose(
            together.streams_t_h[case], alone.streams_t_h[0], rtol=1e-9, atol=1e-9
        )
