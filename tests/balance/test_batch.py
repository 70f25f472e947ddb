"""A batch is its cases, run together; the same input gives the same bits; order is no matter."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import numpy as np
import pytest

from hoggin.balance import Balance, balance, common_edges, lower, solve, stack, take
from hoggin.schema.plant import Plant

from .builder import closed_tertiary
from .random_plants import random_plant
from .test_against_scipy import two_nested_loops
from .varying import vary


def same(one: Balance, other: Balance, case: int) -> None:
    """One case of a batch against a balance of its own."""
    np.testing.assert_allclose(one.streams_t_h[case], other.streams_t_h[0], rtol=1e-12, atol=1e-10)
    np.testing.assert_allclose(one.composition[case], other.composition[0], rtol=1e-12, atol=1e-12)
    water, alone = one.water.streams_t_h[case], other.water.streams_t_h[0]
    np.testing.assert_allclose(water, alone, rtol=1e-11, atol=1e-10)
    for key, cut in one.cut_sizes_mm.items():
        np.testing.assert_allclose(cut[case], other.cut_sizes_mm[key][0], rtol=1e-12)
    for key, load in one.deck_feeds_t_h.items():
        np.testing.assert_allclose(load[case], other.deck_feeds_t_h[key][0], rtol=1e-12, atol=1e-10)


@pytest.mark.slow
def test_batch_equals_single_solves() -> None:
    cases = 40
    draw = np.random.default_rng(7)
    circuit = vary(
        lower(two_nested_loops(load_dependent=True)),
        rates_t_h={"rock": draw.uniform(50.0, 400.0, cases), "dug": draw.uniform(0.0, 90.0, cases)},
        coefficients={
            ("tertiary", "css"): draw.uniform(8.0, 12.0, cases),
            ("secondary", "k1"): draw.uniform(15.0, 30.0, cases),
            ("sizing", "area_m2"): draw.uniform(8.0, 20.0, cases),
        },
    )
    together = solve(circuit)
    for case in range(cases):
        same(together, solve(take(circuit, slice(case, case + 1))), case)


def test_stacked_plants_equal_their_own_balances() -> None:
    plants = [
        closed_tertiary(css=css, aperture=aperture, load_dependent=True, rate=rate)
        for css, aperture, rate in [(22.0, 40.0, 100.0), (25.0, 45.0, 200.0), (18.0, 31.5, 50.0)]
    ]
    edges = common_edges(plants)
    together = solve(stack([lower(plant, edges) for plant in plants]))
    for case, plant in enumerate(plants):
        same(together, solve(lower(plant, edges)), case)


@pytest.mark.slow
def test_passes_do_not_change_the_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    rates = np.linspace(50.0, 300.0, 11)
    circuit = vary(lower(closed_tertiary(load_dependent=True)), rates_t_h={"rock": rates})
    whole = solve(circuit)
    monkeypatch.setattr("hoggin.balance.solver._PASS", 1)
    for case in range(11):
        same(solve(circuit), take_case(whole, case), case)


def take_case(result: Balance, case: int) -> Balance:
    """A batch of one from a case of a larger one."""
    water = result.water
    return replace(
        result,
        streams_t_h=result.streams_t_h[case : case + 1],
        water=replace(water, streams_t_h=water.streams_t_h[case : case + 1]),
        composition=result.composition[case : case + 1],
        machine_feeds_t_h=result.machine_feeds_t_h[case : case + 1],
        first_pass_t_h=result.first_pass_t_h[case : case + 1],
        filling=result.filling[case : case + 1],
        deck_feeds_t_h={k: v[case : case + 1] for k, v in result.deck_feeds_t_h.items()},
        cut_sizes_mm={k: v[case : case + 1] for k, v in result.cut_sizes_mm.items()},
        error=result.error[case : case + 1],
    )


@pytest.mark.parametrize("seed", range(6))
def test_two_runs_give_the_same_bits(seed: int) -> None:
    one, other = balance(random_plant(seed, 30)), balance(random_plant(seed, 30))
    assert one.streams_t_h.tobytes() == other.streams_t_h.tobytes()
    assert one.composition.tobytes() == other.composition.tobytes()
    assert one.loops == other.loops


def shuffled(plant: Plant, seed: int) -> Plant:
    random = Random(seed)
    return plant.model_copy(
        update={
            name: tuple(random.sample(list(getattr(plant, name)), len(getattr(plant, name))))
            for name in ("feeds", "machines", "streams", "products")
        }
    )


@pytest.mark.parametrize("seed", range(12))
def test_order_of_declarations_does_not_change_the_answer(seed: int) -> None:
    plant = random_plant(seed, 25)
    other = shuffled(plant, seed + 100)
    one, two = balance(plant), balance(other)
    place = {stream: s for s, stream in enumerate(other.streams)}
    order = [place[stream] for stream in plant.streams]
    scale = sum(feed.rate_t_h for feed in plant.feeds)
    np.testing.assert_allclose(
        one.streams_t_h[0], two.streams_t_h[0, order], rtol=1e-11, atol=1e-12 * scale
    )
    fed = [other.feeds.index(feed) for feed in plant.feeds]
    np.testing.assert_allclose(one.composition[0], two.composition[0, order][:, fed], atol=1e-11)
    assert {frozenset(a.machines) for a in one.loops} == {frozenset(b.machines) for b in two.loops}


def test_stack_refuses_plants_that_differ_in_more_than_numbers() -> None:
    edges = common_edges([closed_tertiary(), two_nested_loops(load_dependent=False)])
    with pytest.raises(ValueError, match="same flowsheet"):
        stack(
            [
                lower(closed_tertiary(), edges),
                lower(two_nested_loops(load_dependent=False), edges),
            ]
        )
    with pytest.raises(ValueError, match="one size grid"):
        stack([lower(closed_tertiary()), lower(closed_tertiary(aperture=41.0))])
