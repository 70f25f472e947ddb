"""Crushers that follow the F80 and the rock of their own feed, alone and in loops.

References: conservation of mass; scipy.optimize.root on the same equations, assembled apart (see
following_plants.py); the regressions by hand, of the form of Napier-Munn et al. (1996), ch. 6, from
memory.
"""

from __future__ import annotations

import warnings

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from hoggin.balance import CannotSettle, balance, common_edges, lower, solve, stack, take
from hoggin.balance.shape import trace
from hoggin.models.arrays import Array
from hoggin.models.breakage import whiten_operator
from hoggin.models.points import at_points, in_halves, points
from hoggin.schema.plant import Machine, ModelUse, Plant

from .builder import SHOT_ROCK, blend, feed, matrix_crusher, plant, screen
from .following_plants import (
    FollowingReference,
    closed_cone,
    following,
    random_following_plant,
    rock,
    t10_crusher,
    two_rocks,
)
from .random_plants import random_plant
from .test_properties import check_machines, check_whole_plant
from .varying import vary

PLANTS = {
    "one crusher in a loop": closed_cone(),
    "with a screen that hangs on its load": closed_cone(load_dependent=True),
    "two rocks in nested loops": two_rocks(load_dependent=False),
    "two rocks, loaded screens": two_rocks(),
}


@pytest.mark.slow
@pytest.mark.parametrize("name", PLANTS)
def test_flows_are_those_of_scipys_root(name: str) -> None:
    a_plant = PLANTS[name]
    result = balance(a_plant)
    streams, cuts = FollowingReference(a_plant, result.edges_mm).solve()
    scale = sum(source.rate_t_h for source in a_plant.feeds)
    np.testing.assert_allclose(result.streams_t_h[0], streams, rtol=0, atol=1e-9 * scale)
    for key, cut in cuts.items():
        assert result.cut_sizes_mm[key][0] == pytest.approx(cut, rel=1e-9)


@pytest.mark.slow
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(seed=st.integers(0, 10**9), count=st.integers(1, 30))
def test_random_plants_conserve_mass(seed: int, count: int) -> None:
    a_plant = random_following_plant(seed, count)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        result = balance(a_plant)
    total = sum(source.rate_t_h for source in a_plant.feeds)
    assert np.isfinite(result.streams_t_h).all()
    assert (result.streams_t_h >= 0.0).all()
    assert result.closure.max() < 1e-9
    check_machines(a_plant, result, 1e-9 * total)
    check_whole_plant(a_plant, result, 1e-9 * total)


@pytest.mark.slow
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(seed=st.integers(0, 10**9), count=st.integers(2, 12))
def test_random_plants_are_at_their_fixed_point(seed: int, count: int) -> None:
    """Put into the equations of the reference, the answer gives itself again."""
    a_plant = random_following_plant(seed, count)
    result = balance(a_plant)
    fed = result.machine_feeds_t_h[0]
    at = at_points(fed)
    assume((fed.sum(axis=1) > 1e-6).all())
    reference = FollowingReference(a_plant, result.edges_mm)
    cuts = {key: float(cut[0]) for key, cut in result.cut_sizes_mm.items()}
    into = [reference.number[m.tag] for m in reference.crushers]
    sources = [stream.source for stream in a_plant.streams]
    shares = [result.composition[0, sources.index(m.tag)] for m in reference.crushers]
    reference.set_operators(np.array([reference.f80(fed[i]) for i in into]), np.array(shares))
    scale = fed.sum()
    np.testing.assert_allclose(reference.machine_feeds(cuts), fed, rtol=0, atol=1e-8 * scale)
    mixed = reference.shares(at, cuts)[into]
    np.testing.assert_allclose(mixed.reshape(-1), np.reshape(shares, -1), atol=1e-8)


def crushed(edges_mm: Array, fed: Array, *, k1: float, k2: float) -> Array:
    """The product of a chamber with these sizes, in half classes."""
    operator = whiten_operator(edges_mm, k1=k1, k2=k2, points_mm=points(edges_mm[::2]))[0]
    return in_halves(operator @ at_points(fed))


def test_a_crusher_alone_has_k1_and_k2_by_hand() -> None:
    """F80 of SHOT_ROCK is 125 mm: k1 = 20 + 0.1 (125 - 75), k2 = 60 + 0.4 (125 - 75)."""
    cone = following(matrix_crusher("cone", 20.0, 60.0), k1_feed=0.1, k2_feed=0.4, usual_f80=75.0)
    a_plant = plant([feed("shot")], [cone], ["shot -> cone -> pile"])
    result = balance(a_plant)
    fed, product = result.streams_t_h[0]
    expected = crushed(result.edges_mm, fed, k1=25.0, k2=80.0)
    assert dict(SHOT_ROCK)[125.0] == 0.8
    np.testing.assert_allclose(product, expected, rtol=0, atol=1e-10)


def test_without_usual_f80_it_is_the_regression_on_f80_itself() -> None:
    cone = following(matrix_crusher("cone", 20.0, 60.0), k1_feed=0.1, k2_feed=0.4)
    result = balance(plant([feed("shot")], [cone], ["shot -> cone -> pile"]))
    expected = crushed(result.edges_mm, result.streams_t_h[0, 0], k1=32.5, k2=110.0)
    np.testing.assert_allclose(result.streams_t_h[0, 1], expected, rtol=0, atol=1e-10)


@pytest.mark.parametrize("seed", range(8))
def test_coefficients_of_nought_change_no_bit(seed: int) -> None:
    plain = random_plant(seed, 25)
    nought = plain.model_copy(
        update={
            "machines": tuple(
                following(m, k1_feed=0.0, k2_feed=0.0, usual_f80=50.0)
                if m.kind == "crusher" and m.models["breakage"].model == "matrix"
                else m
                for m in plain.machines
            )
        }
    )
    one, other = balance(plain), balance(nought)
    assert one.streams_t_h.tobytes() == other.streams_t_h.tobytes()
    assert one.composition.tobytes() == other.composition.tobytes()
    assert one.iterations == other.iterations


def test_rock_that_states_the_figures_of_the_class_changes_no_bit() -> None:
    def one_cone(**stated: float) -> Plant:
        return plant(
            [feed("shot", material="hard")],
            [t10_crusher("cone", 12.0, 32.0)],
            ["shot -> cone -> pile"],
            materials=[rock("hard", **stated)],
        )

    silent, same_figures = one_cone(), one_cone(t10_limit=0.5, energy_scale=1.25)
    own = one_cone(t10_limit=0.6)
    streams = [balance(p).streams_t_h.tobytes() for p in (silent, same_figures, own)]
    assert streams[0] == streams[1] != streams[2]


def test_a_blend_is_broken_by_its_mean_t10_by_mass() -> None:
    """30 t/h of t10 = 10 % and 70 t/h of 20 %: as one rock of 17 %, by hand."""

    def cone(limit: float) -> Plant:
        return plant(
            [feed("a", 30.0, material="hard"), feed("b", 70.0, material="soft")],
            [t10_crusher("cone", 12.0, 32.0, t10_limit=limit, specific_energy=10.0)],
            ["a -> cone -> pile", "b -> cone"],
            materials=materials,
        )

    energy = 0.1  # kWh/t, a hundredth of what is put in: t10 is its limit
    materials = [
        rock("hard", t10_limit=0.10, energy_scale=energy),
        rock("soft", t10_limit=0.20, energy_scale=energy),
    ]
    blended = balance(cone(0.9))
    materials = [rock(name, energy_scale=energy) for name in ("hard", "soft")]
    mean = balance(cone(0.17))
    np.testing.assert_allclose(blended.streams_t_h, mean.streams_t_h, rtol=0, atol=1e-10)


def test_a_loop_of_blended_rocks_runs_away_at_the_feed_of_one_that_breaks_as_they_do() -> None:
    """Blended before the loop, two rocks are alike all round it. Equal parts of t10 limits 30 % and
    60 % break as one of 45 %."""

    def loop(hard: float, soft: float) -> Plant:
        return plant(
            [feed("a", 95.0, material="hard"), feed("b", 95.0, material="soft")],
            [
                blend("bin"),
                t10_crusher("cone", 12.0, 40.0),
                screen("sizing", 20.0, 8.0, load_dependent=True, area_m2=6.0),
            ],
            [
                "a -> bin -> sizing",
                "b -> bin",
                "sizing.d1.over -> cone -> sizing",
                "sizing.d2.over -> chips",
                "sizing.under -> sand",
            ],
            materials=[rock("hard", t10_limit=hard), rock("soft", t10_limit=soft)],
        )

    (blended,), (mean,) = (
        balance(loop(0.3, 0.6)).runs_away_at,
        balance(loop(0.45, 0.45)).runs_away_at,
    )
    assert 1.0 < mean[0] < 1.1
    np.testing.assert_allclose(blended, mean, rtol=1e-8)


def test_coarser_feed_gives_a_coarser_product() -> None:
    """The direction of the regressions: Napier-Munn et al. (1996), from memory."""
    fine = ((80.0, 1.0), (40.0, 0.6), (10.0, 0.1))
    passing = []
    for response in (0.0, 0.3):
        cone = following(matrix_crusher("cone", 15.0, 45.0), k2_feed=response, usual_f80=60.0)
        for grading in (fine, SHOT_ROCK):
            result = balance(
                plant([feed("shot", grading=grading)], [cone], ["shot -> cone -> pile"])
            )
            product = result.streams_t_h[0, 1]
            passing.append(product[result.edges_mm[:-1] <= 31.5 + 1e-9].sum() / product.sum())
    by_none, by_response = passing[0] - passing[1], passing[2] - passing[3]
    assert by_response > by_none + 0.02


@pytest.mark.slow
def test_batch_equals_single_solves() -> None:
    cases = 30
    draw = np.random.default_rng(11)
    circuit = vary(
        lower(two_rocks()),
        rates_t_h={"shot": draw.uniform(50.0, 250.0, cases), "dug": draw.uniform(0.0, 90.0, cases)},
        coefficients={
            ("secondary", "k2_feed"): np.append(0.0, draw.uniform(0.0, 0.2, cases - 1)),
            ("secondary", "k1"): draw.uniform(15.0, 22.0, cases),
            ("sizing", "area_m2"): draw.uniform(12.0, 20.0, cases),
        },
    )
    together = solve(circuit)
    assert together.closure.max() < 1e-11
    for case in range(cases):
        alone = solve(take(circuit, slice(case, case + 1)))
        np.testing.assert_allclose(
            together.streams_t_h[case], alone.streams_t_h[0], rtol=0, atol=1e-8
        )
        np.testing.assert_allclose(
            together.composition[case], alone.composition[0], rtol=0, atol=1e-9
        )


def test_stacked_plants_equal_their_own_balances() -> None:
    plants = [closed_cone(k2_feed=k2_feed, k1_feed=0.02) for k2_feed in (0.0, 0.1, 0.2)]
    edges = common_edges(plants)
    together = solve(stack([lower(p, edges) for p in plants]))
    for case, a_plant in enumerate(plants):
        alone = solve(lower(a_plant, edges))
        np.testing.assert_allclose(
            together.streams_t_h[case], alone.streams_t_h[0], rtol=0, atol=1e-8
        )


@pytest.mark.slow
def test_a_varied_figure_of_the_rock_holds_for_every_material() -> None:
    circuit = lower(two_rocks())
    limits = np.array([0.4, 0.6])
    varied = vary(
        circuit,
        coefficients={
            ("tertiary", "t10_limit"): limits,
            ("tertiary", "energy_scale"): np.array([1.0, 1.0]),
        },
    )
    tertiary = varied.units[4]
    assert not tertiary.follows_rock  # type: ignore[union-attr]
    alone = solve(take(varied, slice(1, 2)))
    np.testing.assert_allclose(
        solve(varied).streams_t_h[1], alone.streams_t_h[0], rtol=0, atol=1e-8
    )


def test_passes_do_not_change_the_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    rates = np.linspace(50.0, 300.0, 7)
    circuit = vary(lower(closed_cone()), rates_t_h={"shot": rates})
    whole = solve(circuit)
    monkeypatch.setattr("hoggin.balance.solver._PASS", 1)
    in_parts = solve(circuit)
    np.testing.assert_allclose(whole.streams_t_h, in_parts.streams_t_h, rtol=0, atol=1e-9)


def test_two_runs_give_the_same_bits() -> None:
    one, other = balance(two_rocks()), balance(two_rocks())
    assert one.streams_t_h.tobytes() == other.streams_t_h.tobytes()


def test_one_that_is_fed_nothing_is_no_trouble() -> None:
    empty = closed_cone().model_copy(update={"feeds": (feed("shot", 0.0),)})
    assert balance(empty).streams_t_h.sum() == 0.0
    with_rocks = two_rocks().model_copy(
        update={
            "feeds": (feed("shot", 0.0, material="hard"), feed("dug", 50.0, material="soft")),
        }
    )
    assert balance(with_rocks).closure.max() < 1e-11


def test_a_crusher_made_too_coarse_by_its_feed_traps_it() -> None:
    """K1 over the opening that closes the loop: what lies between is returned for ever."""
    with pytest.raises(CannotSettle) as raised:
        balance(closed_cone(k1_feed=1.0, k2_feed=1.0))
    unsettled = raised.value.unsettled
    assert unsettled.machines == ("cone", "sizing")


def test_no_steady_value_is_told_by_the_crusher(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("hoggin.balance.loading._MOST_ITERATIONS", 1)
    monkeypatch.setattr("hoggin.balance.branch._MOST_STEPS", 0)
    with pytest.raises(
        CannotSettle, match="the feed that sets the breakage in cone does not converge"
    ):
        balance(closed_cone())


def test_a_plant_that_follows_nothing_takes_no_iteration() -> None:
    assert balance(closed_cone(k1_feed=0.0, k2_feed=0.0)).iterations == 0
    assert balance(closed_cone()).iterations > 0


def test_shape_follows_the_breakage_there_is() -> None:
    """With K1 and K2 that the feed gives (25 and 80 mm, by hand above) stated outright, a plant is
    the same, flakes and all."""
    even = ModelUse(
        model="even", coefficients={"share": 0.2, "speed_ratio": 1.0, "speed_exponent": 0.0}
    )

    def of(cone: Machine) -> Plant:
        shaped = cone.model_copy(update={"models": {**cone.models, "flakiness": even}})
        stated = feed("shot").model_copy(update={"flakiness": ((40.0, 0.3),)})
        return plant([stated], [shaped], ["shot -> cone -> pile"])

    plain, outright = matrix_crusher("cone", 20.0, 60.0), matrix_crusher("cone", 25.0, 80.0)
    follows = following(plain, k1_feed=0.1, k2_feed=0.4, usual_f80=75.0)
    plants = [of(cone) for cone in (follows, outright, plain)]
    edges = common_edges(plants)
    found = [trace(p, solve(lower(p, edges))) for p in plants]
    flaky = [one.flaky_t_h for one in found if one is not None]
    np.testing.assert_allclose(flaky[0], flaky[1], rtol=0, atol=1e-10)
    assert np.abs(flaky[2] - flaky[1]).max() > 0.01
