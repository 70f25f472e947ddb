"""Flat and elongated rock: a measure of its own, followed beside flakiness by the same rules.

Plants are scenarios of our own.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoggin.balance import balance
from hoggin.balance.result import Balance
from hoggin.balance.shape import Shape, trace
from hoggin.schema.measures import FLAKINESS, FLAT_ELONGATED, MEASURES, Measure
from hoggin.schema.plant import Plant

from .builder import blend, crusher, feed, plant, screen
from .random_plants import random_plant
from .test_shape import even, near, seeds, shaped, slotted, slow, streams_of, with_shape


def elongated(a_plant: Plant, seed: int) -> Plant:
    """The plant with elongation that follows its own numbers, beside the flakiness it has."""
    random = np.random.default_rng(seed)
    feeds = [
        f.model_copy(
            update={"flat_elongated": tuple((s, random.uniform()) for s in (80.0, 20.0, 5.0))}
        )
        for f in a_plant.feeds
    ]
    machines = [
        m.model_copy(
            update={
                "models": {
                    **m.models,
                    "flat_elongated": near(random.uniform(5.0, 40.0), random.uniform(0.01, 0.2)),
                }
            }
        )
        if m.kind == "crusher"
        else m
        for m in a_plant.machines
    ]
    return a_plant.model_copy(update={"feeds": tuple(feeds), "machines": tuple(machines)})


def followed(a_plant: Plant, measure: Measure) -> tuple[Balance, Shape]:
    result = balance(a_plant)
    found = trace(a_plant, result, measure)
    assert found is not None
    return result, found


@pytest.mark.slow
@slow
@given(seed=seeds, count=st.integers(1, 30), slots=st.sampled_from((0.0, 0.5)))
def test_both_measures_are_conserved_through_all_that_does_not_crush(
    seed: int, count: int, slots: float
) -> None:
    """Conservation, class by class, and a share lies between 0 and 1."""
    a_plant = elongated(shaped(random_plant(seed, count), None, None, slots=slots, seed=seed), seed)
    tolerance = 1e-9 * sum(f.rate_t_h for f in a_plant.feeds)
    for measure in MEASURES.values():
        result, found = followed(a_plant, measure)
        assert found.known.all()
        assert (found.flaky_t_h >= 0.0).all()
        assert (found.flaky_t_h <= result.streams_t_h).all()
        for machine in a_plant.machines:
            if machine.kind != "crusher":
                fed = found.flaky_t_h[0, streams_of(a_plant, "target", machine.tag)].sum(axis=0)
                left = found.flaky_t_h[0, streams_of(a_plant, "source", machine.tag)].sum(axis=0)
                np.testing.assert_allclose(left, fed, rtol=0.0, atol=tolerance)


def cut(flaky: float, flat: float, *, fresh_flaky: float, fresh_flat: float) -> Plant:
    cone = with_shape(crusher("cone", 20.0), even(fresh_flaky))
    cone = cone.model_copy(update={"models": {**cone.models, "flat_elongated": even(fresh_flat)}})
    rock = feed("rock", 100.0).model_copy(
        update={"flakiness": ((1.0, flaky),), "flat_elongated": ((1.0, flat),)}
    )
    return plant([rock], [cone, blend("heap")], ["rock -> cone -> heap -> pile"])


def test_neither_measure_bears_on_the_other() -> None:
    """They are told apart by definition: a change of one leaves every figure of the other."""
    one = cut(0.2, 0.05, fresh_flaky=0.1, fresh_flat=0.02)
    other = cut(0.4, 0.05, fresh_flaky=0.3, fresh_flat=0.02)
    first, second = (followed(p, FLAT_ELONGATED)[1].flaky_t_h for p in (one, other))
    np.testing.assert_array_equal(first, second)
    first, second = (followed(p, FLAKINESS)[1].flaky_t_h for p in (one, other))
    assert not np.allclose(first, second)


@pytest.mark.parametrize("share", [0.0, 0.07, 1.0])
def test_rock_that_is_alike_everywhere_stays_so(share: float) -> None:
    """A mixture of like parts is like them."""
    a_plant = cut(0.2, share, fresh_flaky=0.1, fresh_flat=share)
    result, found = followed(a_plant, FLAT_ELONGATED)
    np.testing.assert_allclose(found.flaky_t_h, share * result.streams_t_h, atol=1e-9)


def test_slots_prefer_flat_and_elongated_pieces() -> None:
    """By definition of D4791 and EN 933-3 (from memory): with L > 5 T a piece shorter than 2.5
    times its sieve size is under half as thick as that, and so finds the slot as a flake does."""
    rock = feed("rock", 100.0).model_copy(update={"flat_elongated": ((1.0, 0.08),)})
    a_plant = plant(
        [rock],
        [slotted(screen("sizing", 16.0), 0)],
        ["rock -> sizing", "sizing.d1.over -> chips", "sizing.under -> sand"],
    )
    result, found = followed(a_plant, FLAT_ELONGATED)
    over, under = (streams_of(a_plant, "target", tag) for tag in ("chips", "sand"))

    def share(streams: list[int]) -> float:
        return float(found.flaky_t_h[0, streams].sum() / result.streams_t_h[0, streams].sum())

    assert share(over) < 0.08 < share(under)


def test_a_class_with_figures_of_another_ratio_leaves_the_share_unknown() -> None:
    """No relation between the shares at two ratios is known, so none is used."""
    a_plant = cut(0.2, 0.05, fresh_flaky=0.1, fresh_flat=0.02)
    at_three = a_plant.model_copy(update={"elongation_ratio": 3.0})
    assert followed(a_plant, FLAT_ELONGATED)[1].known.all()
    names = [s.name for s in at_three.streams]
    known = followed(at_three, FLAT_ELONGATED)[1].known
    assert [n for n, k in zip(names, known, strict=True) if k] == ["rock -> cone"]
    assert followed(at_three, FLAKINESS)[1].known.all()
    cone = at_three.machines[0].model_copy(update={"facts": {"elongation_ratio": 3.0}})
    own = at_three.model_copy(update={"machines": (cone, *at_three.machines[1:])})
    assert followed(own, FLAT_ELONGATED)[1].known.all()
