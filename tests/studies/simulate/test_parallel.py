"""Equal machines in parallel that stop one by one. Lines and plants are of our own."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats
from tests.studies.simulate.lines import series

from hoggin.studies.simulate.line import Failing, Line, Unit
from hoggin.studies.simulate.simulate import PLANNED, REPAIR, RUNNING, derated, simulate


def parallel(count: int, availability: float, repair_h: float) -> Line:
    """One section of 100 t/h that runs through so many equal machines."""
    rate = (1 - availability) / availability / repair_h
    return replace(
        series((100.0,), ()),
        units=tuple(Unit("cone", 0, count) for _ in range(count)),
        failing=tuple(Failing("cone", 0, rate, repair_h, unit) for unit in range(count)),
    )


def test_planned_stops_take_turns_and_leave_half() -> None:
    """Two machines, each stopped 2 h in every 10 h, the first up to hour 5: in 30 h there are
    stops up to 5, 10, 15, 20, 25 and 30 h: six of 2 h, so 100 x (30 - 12 / 2) t."""
    stops = [((0.5, 10.0, 2.0),), ((1.0, 10.0, 2.0),)]
    line = replace(series((100.0,), ()), units=tuple(Unit("cone", 0, 2, stop) for stop in stops))
    found = simulate(line, 30.0, kept=1)
    assert found.products_t[0, 0] == pytest.approx(2400.0)
    assert found.hours_h[0, 0, RUNNING] == pytest.approx(30.0)
    assert found.slowed_h[0, 0] == pytest.approx(12.0)
    assert found.lost_t[0, 0, PLANNED] == pytest.approx(600.0)


def test_a_section_stands_still_while_all_of_them_are_stopped() -> None:
    """Both stopped from hour 10 to 12 of 24, and from 20 to 22."""
    line = replace(
        series((100.0,), ()), units=tuple(Unit("cone", 0, 2, ((1.0, 10.0, 2.0),)) for _ in "ab")
    )
    found = simulate(line, 24.0)
    assert found.hours_h[0, 0, PLANNED] == pytest.approx(4.0)
    assert found.products_t[0, 0] == pytest.approx(2000.0)


@pytest.mark.slow
def test_machines_that_fail_on_their_own_are_down_as_the_binomial_says() -> None:
    """Two independent machines, each available for A of the time: none is down for A squared of it,
    one for 2 A (1 - A), both for the rest (reference: scipy.stats.binom). While both are down
    neither fails, as neither runs, and repairs go on: so independence is exact."""
    availability, hours, runs = 0.8, 4000.0, 200
    found = simulate(parallel(2, availability, 3.0), hours, runs, seed=4)
    up = stats.binom(2, availability)
    stopped = found.hours_h[:, 0, REPAIR] / hours
    slowed = found.slowed_h[:, 0] / hours
    made = found.products_t[:, 0] / hours
    for measured, expected in (
        (stopped, up.pmf(0)),
        (slowed, up.pmf(1)),
        (made, 100.0 * up.mean() / 2),
    ):
        error = measured.std(ddof=1) / np.sqrt(runs)
        assert measured.mean() == pytest.approx(expected, abs=4 * error + 1e-4 * expected)
    assert (found.lost_t[:, 0, REPAIR] + found.products_t[:, 0]).tolist() == pytest.approx(
        [100.0 * hours] * runs
    )


@pytest.mark.slow
def test_two_lose_as_much_rock_as_one_and_stand_still_far_less() -> None:
    one, two = (simulate(parallel(n, 0.85, 2.0), 4000.0, 100, seed=1) for n in (1, 2))
    error = one.products_t.std() / 10 + two.products_t.std() / 10
    assert one.products_t.mean() == pytest.approx(two.products_t.mean(), abs=4 * error)
    assert two.hours_h[:, 0, REPAIR].mean() < 0.25 * one.hours_h[:, 0, REPAIR].mean()


def test_without_failures_the_pace_is_the_mean_of_what_is_left() -> None:
    line = derated(parallel(3, 0.9, 2.0))
    assert line.pace[0] == pytest.approx(0.9)
    assert simulate(parallel(3, 0.9, 2.0), 10.0, failures=False).products_t[0, 0] == pytest.approx(
        900.0
    )


def test_one_of_three_leaves_two_thirds() -> None:
    """The first fails at once, as good as, and is not repaired within the run."""
    line = parallel(3, 0.5, 1.0)
    line = replace(line, failing=(Failing("cone", 0, 1e9, 1e9, 0),))
    assert simulate(line, 9.0, 1, seed=2).products_t[0, 0] == pytest.approx(600.0, rel=1e-6)
