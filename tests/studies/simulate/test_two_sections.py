"""Two failing sections with a store between them, against what is known of such lines."""

from __future__ import annotations

import numpy as np
import pytest
from tests.studies.simulate.fluid import Pair, throughput
from tests.studies.simulate.lines import series

from hoggin.studies.simulate.line import Failing, Line
from hoggin.studies.simulate.simulate import simulate

pytestmark = pytest.mark.slow

SLOW_FIRST = Pair(100.0, 120.0, 0.10, 0.15, 0.50, 0.40, 150.0)
SLOW_LAST = Pair(130.0, 100.0, 0.20, 0.05, 0.60, 0.30, 300.0)
MANY = (60, 4000.0)  # runs and hours


def line(pair: Pair) -> Line:
    failing = (Failing("a", 0, pair.p1, 1 / pair.r1), Failing("b", 1, pair.p2, 1 / pair.r2))
    return series((pair.m1, pair.m2), (pair.room,), failing=failing)


def rates(pair: Pair, seed: int = 1) -> np.ndarray:
    runs, hours = MANY
    found: np.ndarray = simulate(line(pair), hours, runs, seed).products_t[:, 0] / hours
    return found


@pytest.mark.parametrize("pair", [SLOW_FIRST, SLOW_LAST])
def test_a_finite_store_passes_what_the_markov_fluid_equations_say(pair: Pair) -> None:
    """Against tests/operate/fluid.py, within four standard errors."""
    made = rates(pair)
    error = made.std(ddof=1) / np.sqrt(len(made))
    assert error < 0.005 * made.mean()
    assert made.mean() == pytest.approx(throughput(pair), abs=4 * error)


@pytest.mark.parametrize("pair", [SLOW_FIRST, SLOW_LAST])
def test_the_fluid_equations_have_the_two_limits_that_are_known(pair: Pair) -> None:
    """Of the reference itself. No store: the slower speed over 1 + p1/r1 + p2/r2 (Buzacott 1967,
    from memory). A boundless one: the lesser of what each alone can do."""
    least = min(pair.m1, pair.m2) / (1 + pair.p1 / pair.r1 + pair.p2 / pair.r2)
    none = Pair(pair.m1, pair.m2, pair.p1, pair.p2, pair.r1, pair.r2, 1e-6)
    assert throughput(none) == pytest.approx(least, rel=1e-6)
    alone = min(pair.m1 / (1 + pair.p1 / pair.r1), pair.m2 / (1 + pair.p2 / pair.r2))
    large = Pair(pair.m1, pair.m2, pair.p1, pair.p2, pair.r1, pair.r2, 1_500.0)
    assert 0.97 * alone < throughput(large) < alone


def test_without_a_store_sections_in_series_make_what_buzacotts_formula_says() -> None:
    """m / (1 + p1/r1 + p2/r2), Buzacott (1967), from memory: 100 / (1 + 0.2 + 0.375)."""
    made = rates(Pair(100.0, 100.0, 0.10, 0.15, 0.50, 0.40, 0.0))
    error = made.std(ddof=1) / np.sqrt(len(made))
    assert made.mean() == pytest.approx(100 / 1.575, abs=4 * error)


def test_with_a_boundless_store_the_weaker_section_sets_the_rate() -> None:
    """min of m r / (r + p): 100 / 1.2 = 83.3 and 120 / 1.375 = 87.3 t/h; the second then takes all
    that the first makes."""
    pair = Pair(100.0, 120.0, 0.10, 0.15, 0.50, 0.40, 1e9)
    runs, hours = MANY
    dry = series((100.0, 120.0), (1e9,), (0.0,), line(pair).failing)
    made = simulate(dry, hours, runs, 2).products_t[:, 0] / hours
    error = made.std(ddof=1) / np.sqrt(runs)
    # What lies in the store at the end is not made yet: some hundreds of tonnes over 4000 h.
    assert made.mean() == pytest.approx(100 / 1.2, abs=4 * error + 0.3)


def test_more_room_never_makes_less_under_the_same_failures() -> None:
    """On the average of the same draws: a known property of such lines (monotonicity)."""
    made = [
        rates(Pair(100.0, 100.0, 0.1, 0.1, 0.5, 0.5, room)).mean() for room in (0, 50, 200, 1000)
    ]
    assert made == sorted(made)
    assert made[-1] > 1.05 * made[0]
