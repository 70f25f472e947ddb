"""Which of several balances a loop has, when it has none, and at what feed it runs away.

References: all roots of the loop found by scipy's brentq from a scan of every cut size
(`fine_reference`); maps whose folds are known by algebra. Plants are scenarios of our own.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray

from hoggin.balance import CannotSettle, Remedy, balance, common_edges, lower, solve, stack
from hoggin.balance.branch import FARTHEST, follow
from hoggin.schema.plant import ModelUse, Plant

from .builder import feed, matrix_crusher, plant, screen
from .fine_reference import Fine
from .loop_roots import loop_roots
from .random_loops import of_capacity, one_deck_loop

pytestmark = pytest.mark.slow

Array = NDArray[np.float64]

ROCK = tuple((180.0 * 0.5**k, 0.5 ** (0.8 * k)) for k in range(12))  # Gaudin-Schuhmann, slope 0.8


def slow_cone(
    aperture: float, *, css: float = 25.0, rate: float = 200.0, area: float = 14.4
) -> Plant:
    """A cone that leaves all up to 0.9 of its setting, closed by a screen of 2.4 m by 6 m."""
    return plant(
        [feed("rock", rate, grading=ROCK)],
        [
            matrix_crusher("cone", 0.9 * css, 2.25 * css),
            screen("sizing", aperture, load_dependent=True, area_m2=area),
        ],
        ["rock -> sizing", "sizing.d1.over -> cone -> sizing", "sizing.under -> sand"],
    )


def roots(a_plant: Plant, octave: int = 48) -> list[float]:
    return Fine(a_plant, octave).roots(steps=90, span=2.0)


def cut(a_plant: Plant) -> float:
    return float(np.log(balance(a_plant).cut_sizes_mm["sizing", "d1"][0]))


@pytest.mark.parametrize("aperture", [30.8, 30.9, 31.0, 31.1, 31.3, 31.6, 32.0, 33.0])
def test_a_loop_of_several_balances_has_that_of_the_lightest_load(aperture: float) -> None:
    found = roots(slow_cone(aperture))
    if found:
        assert cut(slow_cone(aperture)) == pytest.approx(found[0], abs=0.01)
    else:
        with pytest.raises(CannotSettle):
            balance(slow_cone(aperture))


def test_the_recirculating_load_falls_steadily_as_the_deck_is_opened() -> None:
    loads = [
        float(balance(slow_cone(aperture)).recirculating_load("cone")[0])
        for aperture in np.arange(31.0, 34.0, 0.25)
    ]
    assert (np.diff(loads) < 0.0).all()


def lightly_loaded_cone(aperture: float, *, rate: float = 200.0) -> Plant:
    """Its chamber would pass several times the feed, so that it breaks the finer the more
    returns."""
    bare = slow_cone(aperture, rate=rate)
    cone, sizing = bare.machines
    return bare.model_copy(update={"machines": (of_capacity(cone, 1200.0, 0.06), sizing)})


@pytest.mark.parametrize("aperture", [32.0, 32.6, 33.5])
def test_a_part_filled_chamber_has_the_balance_of_the_lightest_load(aperture: float) -> None:
    a_plant = lightly_loaded_cone(aperture)
    found = Fine(a_plant, 24).roots(steps=40, span=1.2)
    if found:
        assert cut(a_plant) == pytest.approx(found[0], abs=0.01)
    else:
        with pytest.raises(CannotSettle):
            balance(a_plant)


def test_a_part_filled_loop_runs_away_at_the_feed_from_which_there_is_no_root() -> None:
    fine = Fine(lightly_loaded_cone(33.0), 24)
    low, high = 0.5, 2.0
    while high - low > 3e-3:
        middle = 0.5 * (low + high)
        if fine.roots(steps=30, span=1.0, scale=middle):
            low = middle
        else:
            high = middle
    near = 0.97 * low
    found = balance(lightly_loaded_cone(33.0, rate=200.0 * near)).runs_away_at[0][0]
    assert near * found == pytest.approx(low, rel=0.01)


@pytest.mark.parametrize("seed", range(2000, 2030))
def test_random_loops_have_the_lightest_of_all_roots_or_there_is_none(seed: int) -> None:
    a_plant = one_deck_loop(seed)
    if a_plant.machines[1].models["partition"].model != "karra":
        return
    found = roots(a_plant, 24)
    try:
        reached = cut(a_plant)
    except CannotSettle:
        assert not found
        return
    assert found
    assert reached == pytest.approx(found[0], abs=0.01)


@pytest.mark.parametrize("aperture", [31.1, 31.3, 32.0])
def test_a_loop_runs_away_at_the_feed_from_which_there_is_no_root(aperture: float) -> None:
    fine = Fine(slow_cone(aperture), 48)
    low, high = 1.0, 2.0
    while high - low > 1e-3:
        middle = 0.5 * (low + high)
        if fine.roots(steps=60, span=1.0, scale=middle):
            low = middle
        else:
            high = middle
    found = balance(slow_cone(aperture)).runs_away_at[0][0]
    assert found == pytest.approx(low, rel=0.005) if low < FARTHEST - 0.01 else found == np.inf


def test_a_sharp_fold_is_the_same_from_every_feed() -> None:
    """A loop that carries many times its feed, its cut near the size that is not broken; from the
    largest feed with a balance, by bisection."""
    cone = matrix_crusher("cone", 21.0, 72.0)
    use = cone.models["breakage"]
    pieces = {**use.coefficients, "coarse_exponent": 4.0, "size_exponent": 0.3, "usual_f80": 92.5}
    chamber = ModelUse(model="matrix", coefficients=pieces)
    cone = cone.model_copy(update={"models": {"breakage": chamber}})
    sizing = screen("sizing", 19.0, load_dependent=True, area_m2=14.4)
    routes = ["rock -> sizing", "sizing.d1.over -> cone -> sizing", "sizing.under -> sand"]

    def runs_away_at(rate: float) -> float | None:
        try:
            found = balance(plant([feed("rock", rate, grading=ROCK)], [cone, sizing], routes))
        except CannotSettle:
            return None
        return rate * float(found.runs_away_at[0][0])

    low, high = 20.0, 200.0
    while high - low > 0.02:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if runs_away_at(middle) is None else (middle, high)
    for share in (0.82, 0.86, 0.9, 0.94, 0.98):
        assert runs_away_at(share * low) == pytest.approx(low, rel=2e-3)
    assert runs_away_at(0.75 * low) == np.inf


def test_past_that_feed_it_is_refused_and_named() -> None:
    at = float(balance(slow_cone(31.3)).runs_away_at[0][0])
    balance(slow_cone(31.3, rate=200.0 * at * 0.998))
    with pytest.raises(CannotSettle) as fault:
        balance(slow_cone(31.3, rate=200.0 * at * 1.01))
    assert fault.value.unsettled.remedy is Remedy.AREA
    assert "beyond 0.99 times this feed" in str(fault.value)


@pytest.mark.parametrize(("css", "aperture"), [(28.0, 26.0), (25.0, 31.3)])
def test_area_helps_first_unless_a_step_of_the_opening_brings_more_than_a_second_screen(
    css: float, aperture: float
) -> None:
    """The largest feeds are those of the fine reference; a step is that of ISO 565 R 20. A second
    screen in parallel doubles the feed, and the reference's feed with twice the area says so."""
    most = largest_feed(css, aperture)
    assert largest_feed(css, aperture, area=2.0 * 14.4) == pytest.approx(2.0 * most, rel=0.03)
    wider = largest_feed(css, aperture * 10.0 ** (1 / 20))

    def remedy(times: float) -> Remedy:
        with pytest.raises(CannotSettle) as fault:
            balance(slow_cone(aperture, css=css, rate=times * most))
        return fault.value.unsettled.remedy

    assert remedy(1.9) is Remedy.AREA
    assert remedy(4.0) is (Remedy.SETTING if wider > 2.0 * most else Remedy.AREA)


def test_a_setting_that_is_to_blame_is_named_with_its_product() -> None:
    with pytest.raises(CannotSettle) as fault:
        balance(slow_cone(26.0, css=28.0))
    assert fault.value.unsettled.remedy is Remedy.SETTING
    assert "is coarser than the 26 mm of sizing.d1" in str(fault.value)


def largest_feed(css: float, aperture: float, area: float = 14.4) -> float:
    """With a balance, by bisection on the roots of the fine reference."""
    low, high = 1.0, 4000.0
    while high / low > 1.01:
        middle = (low * high) ** 0.5
        fine = Fine(slow_cone(aperture, css=css, rate=middle, area=area), 24)
        low, high = (middle, high) if loop_roots(fine) else (low, middle)
    return low


def test_cases_of_a_batch_are_those_of_their_own() -> None:
    plants = [slow_cone(aperture) for aperture in (31.2, 36.0, 31.6, 33.0)]
    edges = common_edges(plants)
    together = solve(stack([lower(one, edges) for one in plants]))
    for case, one in enumerate(plants):
        alone = solve(lower(one, edges))
        np.testing.assert_allclose(
            together.streams_t_h[case], alone.streams_t_h[0], rtol=1e-7, atol=1e-7
        )
        assert together.runs_away_at[0][case] == pytest.approx(alone.runs_away_at[0][0], rel=1e-4)


@dataclass
class Curve:
    """A map whose fixed points are where ln(times) = bend - 20 (z + 0.5)^2."""

    bends: Array  # (B,)

    def of(self, cases: NDArray[np.intp]) -> Curve:
        return Curve(self.bends[cases])

    def empty(self) -> Array:
        return np.zeros((len(self.bends), 1))

    def at(self, z: Array, times: Array) -> tuple[Array, object]:
        level = self.bends - 20.0 * (z[:, 0] + 0.5) ** 2
        return (z[:, 0] + 0.1 * (level - np.log(times)))[:, None], None


def test_a_fold_is_found_where_algebra_has_it() -> None:
    """ln(times) = bend - 20 (z + 0.5)^2 is largest at z = -0.5, with `bend`. It is met at
    z = -0.5 + sqrt(bend / 20), and not at all where bend is below 0."""
    bends = np.array([0.1, 0.2, -0.05])
    way = follow(Curve(bends), tolerance=1e-11)
    assert way.found.tolist() == [True, True, False]
    np.testing.assert_allclose(way.point[:2, 0], -0.5 + np.sqrt(bends[:2] / 20.0), atol=1e-9)
    np.testing.assert_allclose(way.runs_away_at, np.exp(bends), rtol=1e-4)
