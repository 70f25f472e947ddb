"""Flaky rock through circuits: conserved, mixed by mass, and as worked by hand in loops.

Plants are scenarios of our own.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from hoggin.balance import Balance, balance, common_edges, lower, solve, stack
from hoggin.balance.numbers import numbers_of
from hoggin.balance.shape import Shape, trace
from hoggin.models import catalog
from hoggin.models.partition import oversize
from hoggin.models.screens import equivalent_square_mm
from hoggin.schema.plant import Machine, ModelUse, Plant

from .builder import blend, closed_tertiary, crusher, feed, plant, screen, splitter
from .random_plants import random_plant
from .test_analytic import StandIn, at_aperture, ideal

Array = NDArray[np.float64]

seeds = st.integers(0, 10**9)
slow = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def even(flakiness: float) -> ModelUse:
    return ModelUse(
        model="even",
        coefficients={"share": flakiness, "speed_ratio": 1.0, "speed_exponent": 0.5},
    )


def near(css: float, best: float = 0.1) -> ModelUse:
    model = catalog.find("flakiness", "near_setting")
    assert model is not None
    defaults = {c.name: c.default for c in model.coefficients if c.default is not None}
    return ModelUse(model="near_setting", coefficients={**defaults, "css": css, "best": best})


def with_shape(machine: Machine, use: ModelUse) -> Machine:
    return machine.model_copy(update={"models": {**machine.models, "flakiness": use}})


def slotted(machine: Machine, *numbers: int) -> Machine:
    """The screen with some decks, counted from 0, slotted."""
    decks = [
        deck.model_copy(update={"shape": "slotted"}) if number in numbers else deck
        for number, deck in enumerate(machine.decks)
    ]
    return machine.model_copy(update={"decks": tuple(decks)})


def shaped(
    a_plant: Plant, flakiness: float | None, use: ModelUse | None, *, slots: float = 0.0, seed: int
) -> Plant:
    """The plant with flakiness for its feeds and crushers, and a share of its decks slotted;
    None for something other each time."""
    random = Random(seed)

    def machine(m: Machine) -> Machine:
        if m.kind == "crusher":
            return with_shape(m, use or near(random.uniform(5.0, 40.0), random.uniform(0.05, 0.3)))
        return slotted(m, *(k for k in range(len(m.decks)) if random.random() < slots))

    def points() -> tuple[tuple[float, float], ...]:
        if flakiness is not None:
            return ((1.0, flakiness),)
        return tuple((size, random.random()) for size in (80.0, 20.0, 5.0))

    return a_plant.model_copy(
        update={
            "machines": tuple(machine(m) for m in a_plant.machines),
            "feeds": tuple(f.model_copy(update={"flakiness": points()}) for f in a_plant.feeds),
        }
    )


def traced(a_plant: Plant) -> tuple[Balance, Shape]:
    result = balance(a_plant)
    found = trace(a_plant, result)
    assert found is not None
    return result, found


def streams_of(a_plant: Plant, end: str, tag: str) -> list[int]:
    return [s for s, stream in enumerate(a_plant.streams) if getattr(stream, end) == tag]


def share(found: Shape, result: Balance, a_plant: Plant, name: str) -> float:
    """Flaky share of a stream by name, all sizes."""
    s = [stream.name for stream in a_plant.streams].index(name)
    return float(found.flaky_t_h[0, s].sum() / result.streams_t_h[0, s].sum())


# -- conservation and mixing, on random plants ---------------------------------------------------


@pytest.mark.slow
@slow
@given(seed=seeds, count=st.integers(1, 40), slots=st.sampled_from((0.0, 0.5)))
def test_flaky_mass_into_whatever_does_not_crush_is_flaky_mass_out(
    seed: int, count: int, slots: float
) -> None:
    """Conservation, class by class; and flaky mass is never more than mass."""
    a_plant = shaped(random_plant(seed, count), None, None, slots=slots, seed=seed)
    result, found = traced(a_plant)
    tolerance = 1e-9 * sum(f.rate_t_h for f in a_plant.feeds)
    assert np.isfinite(found.flaky_t_h).all()
    assert (found.flaky_t_h >= 0.0).all()
    assert (found.flaky_t_h <= result.streams_t_h).all()
    assert found.known.all()
    for machine in a_plant.machines:
        fed = found.flaky_t_h[0, streams_of(a_plant, "target", machine.tag)].sum(axis=0)
        left = found.flaky_t_h[0, streams_of(a_plant, "source", machine.tag)].sum(axis=0)
        if machine.kind != "crusher":
            np.testing.assert_allclose(left, fed, rtol=0.0, atol=tolerance)


@pytest.mark.slow
@slow
@given(seed=seeds, count=st.integers(1, 40))
def test_square_openings_splitters_and_blends_are_blind_to_shape(seed: int, count: int) -> None:
    """Mixing rule: every outlet's class has the flaky share of the machine's feed of that class,
    the tonnage-weighted mean of what ran in."""
    a_plant = shaped(random_plant(seed, count), None, None, seed=seed)
    result, found = traced(a_plant)
    for machine in a_plant.machines:
        into = streams_of(a_plant, "target", machine.tag)
        mass, flaky = result.streams_t_h[0, into].sum(axis=0), found.flaky_t_h[0, into].sum(axis=0)
        for s in streams_of(a_plant, "source", machine.tag) if machine.kind != "crusher" else ():
            np.testing.assert_allclose(
                found.flaky_t_h[0, s] * mass, result.streams_t_h[0, s] * flaky, rtol=1e-6, atol=1e-9
            )


@pytest.mark.slow
@slow
@given(seed=seeds, count=st.integers(1, 40), everywhere=st.floats(0.0, 1.0))
def test_rock_that_is_alike_everywhere_stays_so(seed: int, count: int, everywhere: float) -> None:
    """A mixture of like parts is like them: with the same flaky share in all feeds and in all that
    is freshly broken, every stream has it."""
    a_plant = shaped(random_plant(seed, count), everywhere, even(everywhere), seed=seed)
    result, found = traced(a_plant)
    np.testing.assert_allclose(
        found.flaky_t_h, everywhere * result.streams_t_h, rtol=1e-8, atol=1e-9
    )


@pytest.mark.slow
@slow
@given(seed=seeds, count=st.integers(1, 40))
@example(seed=221698271, count=14)  # a loop in which nothing is flaky
@example(seed=10872868, count=26)
def test_each_slotted_deck_takes_flakes_and_others_by_their_own_curves(
    seed: int, count: int
) -> None:
    """The rule as stated: shares falling through are as those of two partition curves, their cut
    sizes apart by 1.25 (common practice, no source); the mass in all is that of the mass balance.
    On top decks, whose feed is the screen's; also in loops, where it comes of an iteration."""
    a_plant = shaped(random_plant(seed, count), None, None, slots=0.7, seed=seed)
    result, found = traced(a_plant)
    edges = result.edges_mm
    for machine in a_plant.machines:
        if machine.kind != "screen" or machine.decks[0].shape != "slotted":
            continue
        deck = machine.decks[0]
        into = streams_of(a_plant, "target", machine.tag)
        (over,) = (
            s
            for s in streams_of(a_plant, "source", machine.tag)
            if a_plant.streams[s].outlet == f"{deck.name}.over"
        )
        mass, flaky = result.streams_t_h[0, into].sum(axis=0), found.flaky_t_h[0, into].sum(axis=0)
        flakes_under = flaky - found.flaky_t_h[0, over]
        others_under = mass - result.streams_t_h[0, over] - flakes_under
        cut = result.cut_sizes_mm[machine.tag, deck.name]
        given_ = {
            "aperture_mm": equivalent_square_mm(deck.aperture_mm, deck.shape),
            "sharpness": machine.models["partition"].coefficients["sharpness"],
        }
        of_flakes = 1.0 - oversize(edges, 1.25 * cut, **given_)[0]
        of_others = 1.0 - oversize(edges, cut, **given_)[0]
        apart = flakes_under * (mass - flaky) * of_others - others_under * flaky * of_flakes
        assert (np.abs(apart) <= 1e-8 * (1e-3 + mass**2)).all()


# -- by hand ---------------------------------------------------------------------------------------


def halves(edges_mm: Array) -> Array:
    """40/80 mm is broken, half to just under 40 mm, half to just under 20 mm; of 20/40 mm half is
    left as it is, half broken to just under 20 mm. The rest is left."""
    n = len(edges_mm) - 1
    operator = np.eye(n)
    middle, fine = (int(np.argmin(np.abs(edges_mm - size))) for size in (40.0, 20.0))
    for j in range(fine):
        operator[j, j] = 0.0 if j < middle else 0.5
        operator[fine, j] = 0.5
        if j < middle:
            operator[middle, j] = 0.5
    return operator[None]


def find(role: str, name: str) -> catalog.Model | None:
    if role == "flakiness":
        return catalog.find(role, name)
    parts: dict[str, Callable[..., Any]] = {
        "operator": halves,
        "cut_size": at_aperture,
        "oversize": ideal,
    }
    return StandIn(role, name, "", "stand-in of the tests", {}, (), parts)


def test_a_closed_circuit_settles_as_worked_by_hand() -> None:
    """Fed 100 t/h of 40/80 mm and 40 t/h of 20/40 mm, flaky to 30 %; fresh rock to 10 %; the screen
    returns all over 20 mm.

    40/80 mm is broken at once. Of 20/40 mm the crusher is fed x = 40 + p and gives p = 50 + x / 2,
    so x = 180, p = 140. Its flaky part is z = 12 + (z / 2 + 0.1 x 50), so z = 34, and 34 - 12 = 22
    of the 140 t/h that go round. All 140 t/h under 20 mm are new: 14 flaky.
    """
    cone = with_shape(
        crusher("cone", 20.0).model_copy(
            update={"models": {"breakage": ModelUse(model="halves", coefficients={})}}
        ),
        even(0.10),
    )
    rock = feed("rock", 140.0, grading=((80.0, 1.0), (40.0, 40 / 140), (20.0, 0.0)))
    a_plant = plant(
        [rock.model_copy(update={"flakiness": ((1.0, 0.30),)})],
        [cone, screen("sizing", 20.0)],
        ["rock -> cone -> sizing", "sizing.d1.over -> cone", "sizing.under -> sand"],
        sieves=(80.0, 40.0, 20.0, 10.0),
    )
    result = solve(lower(a_plant, find=find))
    found = trace(a_plant, result, find=find)
    assert found is not None
    names = [stream.name for stream in a_plant.streams]
    over, sand = names.index("sizing.d1.over -> cone"), names.index("sizing.under -> sand")
    assert result.streams_t_h[0, over].sum() == pytest.approx(140.0)
    assert found.flaky_t_h[0, over].sum() == pytest.approx(22.0)
    assert found.flaky_t_h[0, sand].sum() == pytest.approx(14.0)


def test_streams_mix_by_mass() -> None:
    """Mixing rule by hand: 100 t/h at 10 % with 300 t/h at 30 % are 400 t/h at 25 %; a splitter
    changes nothing."""
    feeds = [
        feed(tag, rate).model_copy(update={"flakiness": ((1.0, flaky),)})
        for tag, rate, flaky in (("a", 100.0, 0.10), ("b", 300.0, 0.30))
    ]
    a_plant = plant(
        feeds,
        [blend("mix"), splitter("divide", 0.3, 0.7)],
        ["a -> mix -> divide", "b -> mix", "divide.s1 -> pile", "divide.s2 -> heap"],
    )
    result, found = traced(a_plant)
    for name in ("mix -> divide", "divide.s1 -> pile", "divide.s2 -> heap"):
        assert share(found, result, a_plant, name) == pytest.approx(0.25)


def test_a_slotted_deck_sends_more_of_the_flakes_below() -> None:
    """Common practice: slots let flakes through, so what stays on them is more cubical."""
    rock = feed("rock", 100.0).model_copy(update={"flakiness": ((1.0, 0.25),)})
    a_plant = plant(
        [rock],
        [slotted(screen("sizing", 16.0), 0)],
        ["rock -> sizing", "sizing.d1.over -> chips", "sizing.under -> sand"],
    )
    result, found = traced(a_plant)
    over = share(found, result, a_plant, "sizing.d1.over -> chips")
    under = share(found, result, a_plant, "sizing.under -> sand")
    assert over < 0.25 < under


def test_a_slot_parts_near_size_rock_as_worked_by_hand() -> None:
    """Rock of 17.28 mm on a 16 mm slot, which equals a 19.2 mm mesh, cut at 0.9 of it: 17.28 mm.
    Half of all falls through. Flakes cut at 1.25 x 17.28 = 21.6 mm (common practice, no source), so
    by Karra's curve 2^-(0.8^5.846) = 0.829 would pass, against 0.5 of the others: 1.657 times as
    readily. A quarter is flaky: s (0.25 x 1.657 + 0.75) = 0.5 gives s = 0.4294; flakes 0.7116, and
    0.25 x 0.7116 / 0.5 = 35.6 % of the undersize are flaky, 14.4 % of the oversize."""
    rock = feed("rock", 100.0, grading=((17.281, 1.0), (17.279, 0.0)))
    a_plant = plant(
        [rock.model_copy(update={"flakiness": ((1.0, 0.25),)})],
        [slotted(screen("sizing", 16.0), 0)],
        ["rock -> sizing", "sizing.d1.over -> chips", "sizing.under -> sand"],
    )
    result, found = traced(a_plant)
    over = share(found, result, a_plant, "sizing.d1.over -> chips")
    under = share(found, result, a_plant, "sizing.under -> sand")
    assert (under, over) == pytest.approx((0.3558, 0.1442), abs=2e-4)


# -- what is known, batches ------------------------------------------------------------------------


def closed(css: float = 25.0, aperture: float = 40.0, best: float = 0.1) -> Plant:
    a_plant = closed_tertiary(css=css, aperture=aperture, load_dependent=True)
    shaped_ = shaped(a_plant, 0.2, near(css, best), seed=1)
    machines = [slotted(m, 2) if m.kind == "screen" else m for m in shaped_.machines]
    return shaped_.model_copy(update={"machines": tuple(machines)})


def test_nothing_is_made_up_for_a_plant_that_says_nothing() -> None:
    a_plant = closed_tertiary()
    assert trace(a_plant, balance(a_plant)) is None


def test_a_feed_or_crusher_of_unknown_shape_leaves_all_after_it_unknown() -> None:
    """By hand on two lines that meet in the end."""
    told = feed("told").model_copy(update={"flakiness": ((1.0, 0.2),)})
    a_plant = plant(
        [told, feed("silent")],
        [
            with_shape(crusher("shaped", 20.0), near(20.0)),
            crusher("plain", 20.0),
            splitter("divide", 0.5, 0.5),
            blend("meet"),
        ],
        [
            "told -> divide",
            "divide.s1 -> shaped -> good",
            "divide.s2 -> plain -> bad",
            "silent -> meet -> heap",
        ],
    )
    _, found = traced(a_plant)
    names = {stream.name for s, stream in enumerate(a_plant.streams) if found.known[s]}
    assert names == {
        "told -> divide",
        "divide.s1 -> shaped",
        "divide.s2 -> plain",
        "shaped -> good",
    }


def test_a_batch_is_its_cases_run_together() -> None:
    plants = [closed(25.0, 40.0, 0.1), closed(22.0, 45.0, 0.2), closed(18.0, 31.5, 0.3)]
    edges = common_edges(plants)
    circuit = stack([lower(a_plant, edges) for a_plant in plants])
    together = solve(circuit)
    found = trace(plants[0], together, circuit=circuit, numbers=numbers_of(plants))
    assert found is not None
    for case, a_plant in enumerate(plants):
        alone = trace(a_plant, solve(lower(a_plant, edges)))
        assert alone is not None
        np.testing.assert_allclose(found.flaky_t_h[case], alone.flaky_t_h[0], rtol=1e-9, atol=1e-9)
