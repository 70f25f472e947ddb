"""Water in loops that return nearly all of it, against numpy's dense solution of the same law.

The law: water goes with the solids pro rata, but a coarse outlet that drains keeps no more than
its class's `retained_moisture` of its solids. Each set of outlets that may be full is tried here,
`numpy.linalg.solve` gives its water, and the set that agrees with itself is the solution. Plants
are scenarios of our own.
"""

from __future__ import annotations

from itertools import product
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoggin.balance import balance
from hoggin.balance.result import Balance
from hoggin.schema.plant import Machine, Plant

from .builder import feed, material, plant, screen, splitter

pytestmark = pytest.mark.slow

MOST_CLOSED = 1e-5
"""Of what a plant's splitters are fed, the least that goes on: past a million rounds of rock the
compiler refuses a loop."""


def washing_loops(seed: int) -> Plant:
    """Sprayed screens in a row that drain their oversize; what passes is mostly returned to one
    of them, and so is some of the oversize."""
    random = Random(seed)
    count = random.randint(1, 4)
    machines: list[Machine] = []
    routes = ["rock -> screen0"]
    for place in range(count):
        one = screen(f"screen{place}", random.uniform(2.0, 60.0))
        spray = random.choice((0.0, random.uniform(0.0, 2.0), random.uniform(10.0, 200.0)))
        (deck,) = one.decks
        machines.append(
            one.model_copy(
                update={
                    "decks": (deck.model_copy(update={"spray_m3_h": spray}),),
                    "facts": {**one.facts, "retained_moisture": random.uniform(0.01, 0.2)},
                }
            )
        )
        for outlet, least in (("d1.over", 0.05), ("under", MOST_CLOSED ** (1.0 / count))):
            gate = f"{outlet[-5:].replace('.', '')}{place}"
            leaves = 10.0 ** random.uniform(np.log10(least), -0.3)
            back = random.randint(0, place)
            machines.append(splitter(gate, 1.0 - leaves, leaves))
            on = f"screen{place + 1}" if outlet == "under" and place + 1 < count else f"to_{gate}"
            routes += [
                f"screen{place}.{outlet} -> {gate}",
                f"{gate}.s1 -> screen{back}",
                f"{gate}.s2 -> {on}",
            ]
    moist = material().model_copy(update={"moisture": random.uniform(0.0, 0.15)})
    return plant([feed("rock", 100.0)], machines, routes, materials=[moist])


def independent(a_plant: Plant, solved: Balance) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Water (M,) that arrives at each machine, given the solids of every stream."""
    tags = {machine.tag: n for n, machine in enumerate(a_plant.machines)}
    solids = {s.name: float(solved.streams_t_h[0, i].sum()) for i, s in enumerate(a_plant.streams)}
    out = {(s.source, s.outlet): s for s in a_plant.streams}
    screens = [machine for machine in a_plant.machines if machine.decks]
    (rock,) = a_plant.materials.values()
    for full in product((False, True), repeat=len(screens)):
        drained = dict(zip((one.tag for one in screens), full, strict=True))
        returns = np.eye(len(tags))
        enters = np.zeros(len(tags))
        enters[tags["screen0"]] = a_plant.feeds[0].rate_t_h * rock.moisture
        held = {}
        for machine in a_plant.machines:
            flows = {o: solids[out[machine.tag, o].name] for o in machine.outlets}
            spray = machine.decks[0].spray_m3_h if machine.decks else 0.0
            most = machine.facts.get("retained_moisture", 0.0) * flows.get("d1.over", 0.0)
            held[machine.tag] = (most, flows, spray)
            for outlet, flow in flows.items():
                target = tags.get(out[machine.tag, outlet].target)
                share, fixed = flow / sum(flows.values()), 0.0
                if drained.get(machine.tag):
                    share = 0.0 if outlet == "d1.over" else 1.0
                    fixed = most if outlet == "d1.over" else -most
                if target is not None:
                    returns[target, tags[machine.tag]] -= share
                    enters[target] += share * spray + fixed
        water = np.linalg.solve(returns, enters)
        on = {one.tag: water[tags[one.tag]] + held[one.tag][2] for one in screens}
        over = {t: on[t] * held[t][1]["d1.over"] / sum(held[t][1].values()) for t in drained}
        if all((over[t] > held[t][0]) == drained[t] for t in drained):
            return np.asarray(water)
    raise AssertionError("no set of full outlets agrees with itself")


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 100_000))
def test_water_is_conserved_at_every_machine_at_any_recirculating_load(seed: int) -> None:
    a_plant = washing_loops(seed)
    found = balance(a_plant).water
    water = found.streams_t_h[0]
    entering = float(found.with_feeds_t_h[0] + found.added_t_h[0])
    assert np.all(water >= 0.0)
    for machine in a_plant.machines:
        into = sum(water[i] for i, s in enumerate(a_plant.streams) if s.target == machine.tag)
        into += sum(deck.spray_m3_h for deck in machine.decks)
        out = sum(water[i] for i, s in enumerate(a_plant.streams) if s.source == machine.tag)
        assert abs(into - out) <= 1e-9 * max(entering, into)
    ends = {product.tag for product in a_plant.products}
    left = sum(water[i] for i, s in enumerate(a_plant.streams) if s.target in ends)
    assert left == pytest.approx(entering, rel=1e-9, abs=1e-12)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 100_000))
def test_recirculating_water_is_that_of_an_independent_solution(seed: int) -> None:
    a_plant = washing_loops(seed)
    solved = balance(a_plant)
    expected = independent(a_plant, solved)
    arriving = [
        sum(solved.water.streams_t_h[0, i] for i, s in enumerate(a_plant.streams) if s.target == m)
        for m in (machine.tag for machine in a_plant.machines)
    ]
    # A loop as closed as these magnifies the rounding of its shares as often as it returns water.
    np.testing.assert_allclose(arriving, expected, rtol=1e-8, atol=1e-9)
