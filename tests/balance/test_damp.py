"""Moisture and separation together: water round loops, damp decks against a second solution."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from hoggin.balance import Balance, CannotSettle, balance, common_edges, lower, solve, stack
from hoggin.schema.plant import Machine, ModelUse, Plant

from .builder import feed, matrix_crusher, plant, screen
from .fine_reference import Fine, converged
from .random_plants import random_plant
from .test_converged import check, flows

STONE = ((31.5, 1.0), (16.0, 0.6), (8.0, 0.3), (4.0, 0.15), (1.0, 0.05), (0.25, 0.02))
SAND = ((8.0, 1.0), (4.0, 0.7), (2.0, 0.5), (1.0, 0.35), (0.25, 0.1), (0.125, 0.05))


def clinging(machine: Machine, share: float = 0.05) -> Machine:
    """The same screen where dust rides over."""
    use = machine.models["partition"]
    dusty = ModelUse(model=use.model, coefficients={**use.coefficients, "clinging": share})
    return machine.model_copy(update={"models": {"partition": dusty}})


def sand_loop(stone: float, sand: float, *, sand_to: str = "mill") -> Plant:
    """A crusher closed by a 5 mm deck, that stone enters at the screen and damp sand elsewhere."""
    feeds = [feed("stone", 90.0, grading=STONE), feed("sand", 40.0, grading=SAND)]
    feeds = [
        one.model_copy(update={"moisture": moisture})
        for one, moisture in zip(feeds, (stone, sand), strict=True)
    ]
    machines = [
        matrix_crusher("mill", 3.0, 11.0),
        clinging(screen("sizing", 5.0, 2.0, load_dependent=True, area_m2=25.0)),
    ]
    routes = [
        "stone -> sizing",
        f"sand -> {sand_to}",
        "sizing.d1.over -> mill -> sizing",
        "sizing.d2.over -> grit",
        "sizing.under -> fines",
    ]
    return plant(feeds, machines, routes)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("stone", "sand", "sand_to"),
    [(0.05, 0.05, "mill"), (0.01, 0.09, "mill"), (0.06, 0.02, "mill"), (0.01, 0.09, "sizing")],
)
def test_damp_decks_in_a_loop_cut_as_a_second_solution_has_it(
    stone: float, sand: float, sand_to: str
) -> None:
    """`fine_reference`: the methods page with numpy and scipy alone, taken to ever finer classes;
    where moisture differs round the loop it solves the water as a dense system."""
    a_plant = sand_loop(stone, sand, sand_to=sand_to)
    result = balance(a_plant)
    start = np.log([result.cut_sizes_mm["sizing", deck][0] for deck in ("d1", "d2")])
    solved, moistures = [], []
    for octave in (48, 96):
        fine = Fine(a_plant, octave)
        root = fine.root(start)
        assert root is not None
        at = fine.at(np.exp(root))
        solved.append(at.totals)
        moistures.append(fine._moistures(at, 1.0)[fine.place["sizing"]])
    expected = {key: float(converged(solved[0][key], solved[1][key])) for key in solved[0]}
    check(flows(a_plant, result), expected)
    moisture = float(converged(*moistures))
    for deck in ("d1", "d2"):
        assert result.deck_moistures["sizing", deck][0] == pytest.approx(moisture, rel=1e-3)
    if stone != sand:
        assert min(stone, sand) < moisture < max(stone, sand)


def test_damp_plants_stacked_equal_their_own_balances() -> None:
    plants = [sand_loop(*damp) for damp in ((0.0, 0.0), (0.01, 0.09), (0.06, 0.02), (0.05, 0.05))]
    edges = common_edges(plants)
    together = solve(stack([lower(one, edges) for one in plants]))
    for case, one in enumerate(plants):
        alone = solve(lower(one, edges))
        solids, water = alone.streams_t_h[0], alone.water.streams_t_h[0]
        np.testing.assert_allclose(together.streams_t_h[case], solids, rtol=1e-8, atol=1e-9)
        np.testing.assert_allclose(together.water.streams_t_h[case], water, rtol=1e-8, atol=1e-9)


def test_a_loop_under_spray_separates_alike_whatever_its_moisture() -> None:
    found = []
    for moisture in (0.0, 0.08):
        a_plant = sand_loop(moisture, moisture)
        mill, deck = a_plant.machines
        washed = deck.model_copy(update={"facts": {**deck.facts, "wet": 1.0}})
        found.append(balance(a_plant.model_copy(update={"machines": (mill, washed)})))
    np.testing.assert_array_equal(found[0].streams_t_h, found[1].streams_t_h)


@pytest.mark.slow
@settings(max_examples=40, deadline=None)
@given(
    st.floats(0.0, 0.15),
    st.floats(0.0, 0.15),
    st.lists(st.floats(1.0, 25.0), min_size=1, max_size=3),
    st.floats(20.0, 300.0),
    st.booleans(),
)
def test_more_moisture_never_gives_cleaner_oversize(
    one: float, other: float, apertures: list[float], rate: float, by_load: bool
) -> None:
    """Of a screen that works dry: the top deck keeps as much of each class or more, and as much or
    less passes all decks. Where cuts depend on load the screen has one deck: dust that stays on a
    deck relieves the next."""
    apertures = apertures[:1] if by_load else apertures
    decks = clinging(screen("s", *sorted(apertures, reverse=True), load_dependent=by_load))
    routes = [f"s.d{k}.over -> o{k}" for k in range(1, len(apertures) + 1)]
    through = []
    for moisture in sorted((one, other)):
        damp = feed("f", rate, grading=STONE).model_copy(update={"moisture": moisture})
        through.append(balance(plant([damp], [decks], ["f -> s", *routes, "s.under -> u"])))
    less, more = through
    assert (more.streams_t_h[0, -1] <= less.streams_t_h[0, -1] + 1e-9 * rate).all()
    assert (more.streams_t_h[0, 1] >= less.streams_t_h[0, 1] - 1e-9 * rate).all()


def draining(a_plant: Plant, seed: int) -> Plant:
    """A plant whose feeds are damp, and whose screens are sprayed, or drain, or neither."""
    random = Random(seed)
    machines = []
    for machine in a_plant.machines:
        if machine.decks and random.random() < 0.7:
            decks = tuple(
                deck.model_copy(update={"spray_m3_h": random.choice((0.0, 5.0, 60.0))})
                for deck in machine.decks
            )
            facts = {**machine.facts, "retained_moisture": random.uniform(0.02, 0.3)}
            machine = machine.model_copy(update={"decks": decks, "facts": facts})
        machines.append(machine)
    feeds = tuple(
        one.model_copy(update={"moisture": random.uniform(0.0, 0.1)}) for one in a_plant.feeds
    )
    return a_plant.model_copy(update={"machines": tuple(machines), "feeds": feeds})


@pytest.mark.slow
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.integers(0, 10_000), st.integers(2, 25))
def test_water_is_conserved_and_drains_by_one_rule_round_any_loop(seed: int, count: int) -> None:
    """Conservation of mass at every machine; a coarse outlet keeps the lesser of its share and of
    what its class says it can hold."""
    a_plant = draining(random_plant(seed, count), seed)
    try:
        result = balance(a_plant)
    except CannotSettle:
        assume(False)  # some random plants run away
    solids, water = result.streams_t_h[0].sum(axis=1), result.water.streams_t_h[0]
    total = float(result.water.with_feeds_t_h[0] + result.water.added_t_h[0])
    near = 1e-8 * max(total, 1.0)
    for machine in a_plant.machines:
        wet = sum(float(water[s]) for s in streams_to(a_plant, machine.tag))
        for deck in machine.decks:
            wet += deck.spray_m3_h
            (over,) = streams_by(a_plant, machine.tag, f"{deck.name}.over")
            onto = float(result.deck_feeds_t_h[machine.tag, deck.name].sum())
            kept = wet * solids[over] / onto if onto > 0.0 else 0.0
            held = machine.facts.get("retained_moisture", np.inf)
            kept = min(kept, held * solids[over]) if solids[over] > 0.0 else 0.0
            assert water[over] == pytest.approx(kept, abs=near)
            wet -= float(water[over])
        left = [s for s, one in enumerate(a_plant.streams) if one.source == machine.tag]
        passing = [s for s in left if not a_plant.streams[s].outlet.endswith(".over")]
        assert sum(float(water[s]) for s in passing) == pytest.approx(wet, abs=near)
    assert_solids_kept(a_plant, result)


def assert_solids_kept(a_plant: Plant, result: Balance) -> None:
    feeds = sum(one.rate_t_h for one in a_plant.feeds)
    products = {one.tag for one in a_plant.products}
    out = [s for s, one in enumerate(a_plant.streams) if one.target in products]
    assert float(result.streams_t_h[0, out].sum()) == pytest.approx(feeds, rel=1e-9)


def streams_to(a_plant: Plant, tag: str) -> list[int]:
    return [s for s, one in enumerate(a_plant.streams) if one.target == tag]


def streams_by(a_plant: Plant, tag: str, outlet: str) -> list[int]:
    return [s for s, o in enumerate(a_plant.streams) if (o.source, o.outlet) == (tag, outlet)]
