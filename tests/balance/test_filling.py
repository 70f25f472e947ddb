"""How full a chamber is acts on what it breaks, alone and in loops.

References: the definition worked by hand, conservation of mass, scipy's brentq on the scalar
equation of a closed circuit; `test_converged` and `test_branch` compare with an independent
solution. That a fuller chamber breaks finer is common practice, no source. Plants are scenarios of
our own.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import optimize

from hoggin.balance import CannotSettle, balance, common_edges, lower, solve, stack
from hoggin.models.breakage import setting_curve_operator, whiten_operator
from hoggin.models.chamber import filling_under
from hoggin.models.t10 import t10_operator
from hoggin.schema.plant import Plant

from .builder import crusher, feed, material, matrix_crusher, plant, screen, splitter
from .following_plants import t10_crusher
from .random_loops import double_loop, many_deck_loop, of_capacity, one_deck_loop, part_filled
from .test_properties import CLOSURE, check_machines, check_whole_plant

Array = NDArray[np.float64]

EDGES = np.append(150.0 * 0.5 ** (np.arange(64) / 6.0), 0.0)
KINDS = {"one deck": one_deck_loop, "many decks": many_deck_loop, "two loops": double_loop}
CRUSHERS = {
    "matrix": matrix_crusher("cone", 18.0, 55.0),
    "matrix_t10": t10_crusher("cone", 18.0, 55.0, k3=2.5),
    "setting_curve": crusher("cone", 25.0),
}


OPERATORS: dict[str, Callable[..., Array]] = {
    "matrix": whiten_operator,
    "matrix_t10": t10_operator,
    "setting_curve": setting_curve_operator,
}


def alone(model: str, rate: float, capacity: float = 400.0) -> Plant:
    """A crusher in open circuit; of 1.65 t/m3, so full from 0.6 x 400 x 1.65 / 1.6 t/h on."""
    cone = of_capacity(CRUSHERS[model], capacity)
    return plant([feed("rock", rate)], [cone], ["rock -> cone -> pile"])


def closed(rate: float, *, capacity: float = 400.0, load_dependent: bool = False) -> Plant:
    """A cone closed by a screen, whose recirculating load depends on how full it is."""
    return plant(
        [feed("rock", rate)],
        [
            of_capacity(CRUSHERS["matrix"], capacity),
            screen("sizing", 30.0, load_dependent=load_dependent, area_m2=14.0),
        ],
        ["rock -> cone -> sizing", "sizing.d1.over -> cone", "sizing.under -> sand"],
    )


# --- the model ---------------------------------------------------------------------------------


def test_the_filling_rises_steadily_from_starved_to_full() -> None:
    """By hand: u^3 (4 - 3 u) is 0.3125 at a half, and has no slope where it reaches 1."""
    assert filling_under([0.0, 0.5, 1.0, 7.0]) == pytest.approx([0.0, 0.3125, 1.0, 1.0])
    loads = np.linspace(0.0, 1.0, 400)
    assert (np.diff(filling_under(loads)) > 0.0).all()
    assert 1.0 - filling_under(1.0 - 1e-6)[0] < 1e-11


shares = st.floats(0.0, 1.0)


@pytest.mark.slow
@settings(max_examples=60, deadline=None)
@given(
    model=st.sampled_from(sorted(CRUSHERS)),
    starved=st.floats(0.0, 0.14),
    size_exponent=st.sampled_from((0.0, 0.3)),
    fillings=st.tuples(shares, shares),
    top=st.floats(10.0, 150.0),
    slope=st.floats(0.3, 2.0),
)
def test_a_fuller_chamber_never_makes_a_coarser_product(
    model: str,
    starved: float,
    size_exponent: float,
    fillings: tuple[float, float],
    top: float,
    slope: float,
) -> None:
    known = dict(CRUSHERS[model].models["breakage"].coefficients)
    if model != "setting_curve":
        known |= {"size_exponent": size_exponent, "usual_f80": 90.0}
    known["starved_loss" if model == "setting_curve" else "starved_rise"] = starved
    fed = -np.diff(np.minimum(EDGES / top, 1.0) ** slope)
    coarser = []  # than each edge
    for filling in sorted(fillings):
        made = OPERATORS[model](EDGES, filling=filling, **known)[0]
        np.testing.assert_allclose(made.sum(axis=0), 1.0, atol=1e-12)
        coarser.append(np.cumsum(made @ fed))
    assert (coarser[1] <= coarser[0] + 1e-12).all()


# --- a machine alone ---------------------------------------------------------------------------


@pytest.mark.parametrize("model", sorted(CRUSHERS))
def test_a_chamber_at_half_its_full_load_is_five_sixteenths_full(model: str) -> None:
    """By hand: 0.3125 of the product is that of a full chamber, the rest that of a starved one."""
    full_from = 0.6 * 400.0 * 1.65 / 1.6
    empty, half, full = (balance(alone(model, rate)) for rate in (1e-9, 0.5 * full_from, full_from))
    assert half.filling[0, 0] == pytest.approx(0.3125, rel=1e-12)
    assert full.filling[0, 0] == 1.0
    products = [b.streams_t_h[0, 1] / b.streams_t_h[0, 1].sum() for b in (empty, half, full)]
    mixed = 0.3125 * products[2] + 0.6875 * products[0]
    np.testing.assert_allclose(products[1], mixed, atol=1e-9)


@settings(max_examples=30, deadline=None)
@given(
    model=st.sampled_from(sorted(CRUSHERS)), rate=st.floats(0.5, 400.0), more=st.floats(1.0, 4.0)
)
def test_more_feed_never_makes_a_coarser_product(model: str, rate: float, more: float) -> None:
    coarser = []
    for fed in (rate, more * rate):
        product = balance(alone(model, fed)).streams_t_h[0, 1]
        coarser.append(np.cumsum(product) / product.sum())
    assert (coarser[1] <= coarser[0] + 1e-9).all()


def test_a_full_chamber_changes_no_bit() -> None:
    plain = alone("matrix", 300.0)
    cone = CRUSHERS["matrix"]
    without = plain.model_copy(update={"machines": (cone,)})
    edges = common_edges([plain])
    np.testing.assert_array_equal(
        solve(lower(plain, edges)).streams_t_h, solve(lower(without, edges)).streams_t_h
    )


def test_equal_machines_share_what_fills_them() -> None:
    one, two = (alone("matrix", rate) for rate in (100.0, 200.0))
    cone = two.machines[0].model_copy(update={"count": 2.0})
    together = balance(two.model_copy(update={"machines": (cone,)}))
    assert together.filling[0, 0] == pytest.approx(balance(one).filling[0, 0], rel=1e-12)


def test_rocks_of_two_densities_fill_a_chamber_by_volume() -> None:
    """By hand: 60 t of 1.2 t/m3 and 60 t of 2.0 t/m3 are 80 m3; full is 0.6 x 400 / 1.6 = 150."""
    feeds = [feed("light", 60.0, material="pumice"), feed("heavy", 60.0, material="gabbro")]
    both = plant(
        feeds,
        [of_capacity(CRUSHERS["matrix"], 400.0)],
        ["light -> cone -> pile", "heavy -> cone"],
        materials=[material("pumice", 1.2), material("gabbro", 2.0)],
    )
    u = 80.0 / 150.0
    assert balance(both).filling[0, 0] == pytest.approx(4 * u**3 - 3 * u**4, rel=1e-12)


# --- loops -------------------------------------------------------------------------------------


@pytest.mark.parametrize("rate", [40.0, 90.0, 130.0, 220.0])
def test_a_closed_circuit_is_at_the_one_root_of_its_load(rate: float) -> None:
    """The recirculating load at a filling from two plants whose chambers are held there, a root of
    fed = rate (1 + load(filling(fed))) from scipy."""

    def fed_at(filling: float) -> float:
        rise = 1.0 + 0.1
        full = CRUSHERS["matrix"]
        use = full.models["breakage"]
        wide = {**use.coefficients, **{n: rise * use.coefficients[n] for n in ("k1", "k2")}}
        starved = full.model_copy(
            update={
                "tag": "starved",
                "models": {"breakage": use.model_copy(update={"coefficients": wide})},
            }
        )
        halves = plant(
            [feed("rock", rate)],
            [splitter("divide", filling, 1.0 - filling), full, starved, screen("sizing", 30.0)],
            [
                "rock -> divide",
                "divide.s1 -> cone -> sizing",
                "divide.s2 -> starved -> sizing",
                "sizing.d1.over -> divide",
                "sizing.under -> sand",
            ],
        )
        return float(solve(lower(halves, edges)).machine_feeds_t_h[0, 0].sum())

    circuit = closed(rate)
    edges = common_edges([circuit])
    full_from = 0.6 * 400.0 * 1.65 / 1.6

    def error(filling: float) -> float:
        u = min(fed_at(filling) / full_from, 1.0)
        return 4 * u**3 - 3 * u**4 - filling

    root = 1.0 if error(1.0) == 0.0 else float(optimize.brentq(error, 0.0, 1.0, xtol=1e-14))
    found = balance(circuit)
    assert found.filling[0, 0] == pytest.approx(root, abs=1e-9)
    assert found.machine_feeds_t_h[0, 0].sum() == pytest.approx(fed_at(root), rel=1e-9)


@pytest.mark.parametrize("load_dependent", [False, True])
def test_more_feed_fills_the_chamber_and_returns_less_of_itself(load_dependent: bool) -> None:
    rates = np.linspace(10.0, 160.0, 9)
    found = [balance(closed(rate, load_dependent=load_dependent)) for rate in rates]
    filled = [b.filling[0, 0] for b in found]
    assert (np.diff(filled) > 0.0).all() and filled[0] < 0.1
    if not load_dependent:
        assert (np.diff([b.recirculating_load("cone")[0] for b in found]) < 0.0).all()


@pytest.mark.slow
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(kind=st.sampled_from(sorted(KINDS)), seed=st.integers(0, 10**6))
def test_random_part_filled_loops_conserve_mass_and_are_as_full_as_they_are_fed(
    kind: str, seed: int
) -> None:
    a_plant = part_filled(KINDS[kind](seed), seed)
    try:
        result = balance(a_plant)
    except CannotSettle:
        return
    rate = sum(one.rate_t_h for one in a_plant.feeds)
    assert result.closure.max() < CLOSURE
    check_machines(a_plant, result, CLOSURE * rate)
    check_whole_plant(a_plant, result, CLOSURE * rate)
    for m, machine in enumerate(a_plant.machines):
        use = machine.models.get("breakage")
        if use is not None and use.model != "impact":
            rated = machine.models["capacity"].coefficients["rated"]
            u = min(result.machine_feeds_t_h[0, m].sum() / (0.6 * rated * 1.65 / 1.6), 1.0)
            assert result.filling[0, m] == pytest.approx(4 * u**3 - 3 * u**4, abs=1e-9)


def test_cases_of_a_batch_are_those_of_their_own() -> None:
    plants = [closed(rate, load_dependent=True) for rate in (15.0, 60.0, 120.0, 300.0)]
    edges = common_edges(plants)
    together = solve(stack([lower(one, edges) for one in plants]))
    for case, one in enumerate(plants):
        own = solve(lower(one, edges))
        np.testing.assert_allclose(together.streams_t_h[case], own.streams_t_h[0], rtol=1e-8)
        np.testing.assert_allclose(together.filling[case], own.filling[0], rtol=1e-8)


def test_a_chamber_that_starved_would_trap_rock_fills_until_it_does_not() -> None:
    """Starved, nothing up to 1.14 x 24 mm is broken, and the deck keeps all from 26 mm up: what is
    returned
    fills the chamber until enough of it is broken."""
    cone = of_capacity(matrix_crusher("cone", 24.0, 60.0), 200.0, 0.14)
    circuit = plant(
        [feed("rock", 5.0)],
        [cone, screen("sizing", 26.0)],
        ["rock -> cone -> sizing", "sizing.d1.over -> cone", "sizing.under -> sand"],
    )
    found = balance(circuit)
    assert found.closure.max() < CLOSURE
    assert 0.0 < found.filling[0, 0] < 1.0
    assert found.recirculating_load("cone")[0] > 1.0
