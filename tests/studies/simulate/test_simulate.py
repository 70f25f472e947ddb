"""Runs without luck, worked by hand; and what must hold of any run."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats
from tests.studies.simulate.lines import series

from hoggin.studies.simulate.draws import Draws
from hoggin.studies.simulate.line import Campaign, Failing, Line
from hoggin.studies.simulate.simulate import (
    CHANGING,
    HELD,
    PLANNED,
    REPAIR,
    RUNNING,
    STARVED,
    UNLOADED,
    Runs,
    simulate,
)


def test_a_pile_runs_dry_at_the_hour_worked_by_hand() -> None:
    """600 t; 100 t/h come in for 4 h of 24, 150 t/h go out. Level at 4 h: 600 - 4 x 50 = 400 t; dry
    at 4 + 400 / 150 = 6 2/3 h. Made by then: 150 x 6 2/3 = 1000 t, the start and what was fed."""
    line = replace(series((100.0, 150.0), (900.0,), (600.0,)), loaded_h={0: ((0.0, 4.0),)})
    found = simulate(line, 24.0, kept=1)
    trace = found.traces[0]
    assert trace.hours.tolist() == pytest.approx([0.0, 4.0, 4 + 400 / 150, 24.0])
    assert trace.levels_t[:, 0].tolist() == pytest.approx([600.0, 400.0, 0.0, 0.0])
    assert found.products_t[0, 0] == pytest.approx(1000.0)
    assert found.hours_h[0, 1, RUNNING] == pytest.approx(4 + 400 / 150)
    assert found.hours_h[0, 1, STARVED] == pytest.approx(20 - 400 / 150)
    assert found.hours_h[0, 0, UNLOADED] == pytest.approx(20.0)
    assert found.empty_h[0, 0] == pytest.approx(20 - 400 / 150)


def test_a_full_pile_slows_what_fills_it() -> None:
    """200 t/h into a pile of 300 t, 150 t in it, 120 t/h out: full after 150 / 80 = 1.875 h, then
    120 t/h in. In 10 h 200 x 1.875 + 120 x 8.125 = 1350 t are taken in; 80 x 8.125 = 650 t not."""
    found = simulate(series((200.0, 120.0), (300.0,)), 10.0)
    assert found.taken_t[0, 0] == pytest.approx(1350.0)
    assert found.full_h[0, 0] == pytest.approx(8.125)
    assert found.slowed_h[0, 0] == pytest.approx(8.125)
    assert found.lost_t[0, 0, HELD] == pytest.approx(650.0)
    assert found.products_t[0, 0] == pytest.approx(1200.0)


def test_an_empty_pile_slows_what_it_feeds() -> None:
    """100 t/h in, 130 t/h out of 60 t: dry after 2 h, then 100 t/h; in 10 h 260 + 800 t."""
    found = simulate(series((100.0, 130.0), (500.0,), (60.0,)), 10.0)
    assert found.products_t[0, 0] == pytest.approx(1060.0)
    assert found.lost_t[0, 1, STARVED] == pytest.approx(240.0)


def test_each_interval_ends_with_its_planned_stop_which_stops_only_its_section() -> None:
    """Of each 8 h the last 2 h: 6 to 8 h, 14 to 16 h, 22 to 24 h, so 6 h of the run's 24 h. The
    other section goes on from 1000 t in the store."""
    line = replace(series((100.0, 100.0), (2000.0,)), stops_h=((0, 8.0, 2.0),))
    found = simulate(line, 24.0)
    assert found.hours_h[0, 0, PLANNED] == pytest.approx(6.0)
    assert found.hours_h[0, 1, RUNNING] == pytest.approx(24.0)
    assert found.end_t[0, 0] == pytest.approx(1000.0 - 600.0)


@pytest.mark.parametrize("intervals", [1, 2, 5])
def test_no_stop_due_by_the_end_of_a_run_is_lost(intervals: int) -> None:
    """2 h of each 40 h: a run of whole intervals makes 95 % of its hours, however few they are."""
    line = replace(series((100.0,), ()), stops_h=((0, 40.0, 2.0),))
    found = simulate(line, 40.0 * intervals)
    assert found.products_t[0, 0] == pytest.approx(0.95 * 100.0 * 40.0 * intervals)


def test_a_campaign_sends_everything_one_way_and_costs_its_changeovers() -> None:
    """100 t/h, turns of 3 h and 2 h of running, 1 h to change over. 14 h: 3 a, 1, 2 b, 1, 3 a, 1,
    2 b, 1: 6 h of a, 4 h of b, 4 h of changing; the last changeover ends with the run."""
    base = series((100.0,), ())
    line = replace(
        base,
        products=("a", "b"),
        takes_t_h=np.zeros((1, 0)),
        gives_t_h=np.zeros((1, 2)),
        campaigns=(Campaign("c", 0, ("a", "b"), (3.0, 2.0), 100.0 * np.eye(2), 1.0),),
    )
    found = simulate(line, 14.0)
    assert found.products_t[0].tolist() == pytest.approx([600.0, 400.0])
    assert found.hours_h[0, 0, CHANGING] == pytest.approx(4.0)


def test_derating_takes_the_pace_down_to_what_sections_in_series_are_available() -> None:
    """Two machines of 90 % and 80 % in one section: 1 / (1 + 1/9 + 1/4) = 36/49, Buzacott (1967),
    from memory."""
    failing = (Failing("x", 0, 1 / 9, 1.0), Failing("y", 0, 1 / 8, 2.0))
    line = replace(series((100.0, 200.0), (500.0,)), failing=failing)
    found = simulate(line, 100.0, runs=7, failures=False)
    assert found.taken_t.shape == (1, 2)
    assert found.taken_t[0, 0] == pytest.approx(100 * 100 * 36 / 49)


@pytest.mark.slow
def test_a_section_is_up_for_the_share_that_its_machines_in_series_leave() -> None:
    """The same section with its failures drawn, within four standard errors; and each machine is
    down by its own failures per hour times repair, over the running hours."""
    failing = (Failing("x", 0, 1 / 9, 1.0), Failing("y", 0, 1 / 8, 2.0))
    line = replace(series((100.0,), ()), failing=failing)
    found = simulate(line, 2000.0, 100, 3)
    running = found.hours_h[:, 0, RUNNING]
    error = running.std(ddof=1) / 10
    assert running.mean() == pytest.approx(2000 * 36 / 49, abs=4 * error)
    for place, (burden, mean) in enumerate(((1 / 9, 1.0), (1 / 8, 2.0))):
        down = found.repairs_h[:, place]
        off = down - burden * mean * running
        assert abs(off.mean()) < 4 * off.std(ddof=1) / 10
        failures = found.failures[:, place] - burden * running
        assert abs(failures.mean()) < 4 * failures.std(ddof=1) / 10
    assert found.hours_h[:, 0, REPAIR] == pytest.approx(found.repairs_h.sum(axis=1))


def test_times_to_failure_and_repair_are_exponential() -> None:
    """Kolmogorov and Smirnov's test against scipy's distribution, at one in a thousand."""
    line = replace(series((100.0,), ()), failing=(Failing("x", 0, 0.05, 3.0),))
    draws = Draws(line, 4000, 5)
    lives = draws.lives(np.zeros((4000, 1), dtype=np.int64))[:, 0]
    repairs, _ = draws.repairs(np.full((4000, 1), 70, dtype=np.int64))
    assert stats.kstest(lives, stats.expon(scale=20.0).cdf).pvalue > 1e-3
    assert stats.kstest(repairs[:, 0], stats.expon(scale=3.0).cdf).pvalue > 1e-3


def test_the_same_seed_gives_the_same_runs_and_another_seed_others() -> None:
    line = series((100.0, 90.0), (200.0,), failing=(Failing("x", 0, 0.1, 2.0),))
    one, again, other = (simulate(line, 300.0, 5, seed) for seed in (4, 4, 5))
    assert np.array_equal(one.products_t, again.products_t)
    assert not np.array_equal(one.products_t, other.products_t)


def test_a_run_is_the_same_however_many_run_beside_it() -> None:
    line = series((100.0, 90.0), (200.0,), failing=(Failing("x", 0, 0.1, 2.0),))
    few, many = simulate(line, 300.0, 3, 4), simulate(line, 300.0, 9, 4)
    assert few.products_t == pytest.approx(many.products_t[:3], rel=1e-12)


sizes = st.just(0.0) | st.floats(0.5, 400.0)
speeds = st.floats(20.0, 300.0)


@st.composite
def lines(draw: st.DrawFn) -> Line:
    """Two sections that fill a store, one that draws from it, gives part to a second store and part
    to a product, and one that draws from that; with failures, stops, loading and paces."""
    a, b, c, d = (draw(speeds) for _ in range(4))
    part = draw(st.floats(0.1, 0.9))
    live = np.array([draw(sizes), draw(sizes)])
    return Line(
        sections=("a", "b", "c", "d"),
        stores=("one", "two"),
        products=("p", "q"),
        takes_t_h=np.array([[0.0, 0.0], [0.0, 0.0], [c, 0.0], [0.0, d]]),
        gives_t_h=np.array(
            [[a, 0, 0, 0], [b, 0, 0, 0], [0, part * c, (1 - part) * c, 0], [0, 0, 0, d]]
        ),
        feeds_t_h=np.array([a, b, 0.0, 0.0]),
        pace=np.array([draw(st.floats(0.5, 2.0)) for _ in range(4)]),
        live_t=live,
        start_t=live * draw(st.floats(0.0, 1.0)),
        failing=(Failing("x", 0, 0.1, 2.0), Failing("y", 2, 0.2, 1.0), Failing("z", 3, 0.05, 4.0)),
        stops_h=((2, draw(st.floats(5.0, 30.0)), 3.0),),
        loaded_h={1: ((0.0, 20.0), (30.0, 55.0))},
    )


@pytest.mark.slow
@settings(max_examples=40, deadline=None)
@given(lines(), st.integers(0, 1000))
def test_what_comes_in_is_made_or_stored_and_every_hour_is_told_once(line: Line, seed: int) -> None:
    """Conservation of mass and of time."""
    found = simulate(line, 80.0, 6, seed, kept=6)
    stored = found.end_t.sum(axis=1) - line.start_t.sum()
    scale = 80.0 * float(line.through_t_h.max())
    assert found.fed_t.sum(axis=1) == pytest.approx(
        found.products_t.sum(axis=1) + stored, abs=1e-6 * scale
    )
    assert found.hours_h.sum(axis=2) == pytest.approx(np.full((6, 4), 80.0))
    for trace in found.traces:
        assert (trace.levels_t >= 0).all() and (trace.levels_t <= line.live_t).all()
    _nothing_outruns_its_pace(line, found)


def _nothing_outruns_its_pace(line: Line, found: Runs) -> None:
    most = found.hours_h[..., RUNNING] * line.pace * line.through_t_h
    assert (found.taken_t <= most * (1 + 1e-9) + 1e-9).all()
    whole = found.hours_h.sum(axis=2) * line.pace * line.through_t_h
    assert found.taken_t + found.lost_t.sum(axis=2) == pytest.approx(whole, rel=1e-6)
