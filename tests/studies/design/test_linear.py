"""Designs of plants that are linear in their free shares, against scipy.optimize.linprog.

linprog (the HiGHS solver, a general-purpose library) gives the exact optimum and, as marginals, the
exact worth of one unit of every limit.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog
from tests.studies.design.plants import design_of, divided

from hoggin.errors import HogginError

pytestmark = pytest.mark.slow

# Rates in t/h of first, second and third by the shares n.a, n.b and s.a, from the routes of
# `divided`: first = 200 na + 100 sa, second = 200 nb, third = 200 (1 - na - nb) + 100 (1 - sa).
_RATES = np.array([[200.0, 0.0, 100.0], [0.0, 200.0, 0.0], [-200.0, -200.0, -100.0]])
_WHOLE = np.array([0.0, 0.0, 300.0])
_BOUNDS = [(0.05, 0.7), (0.05, 0.7), (0.05, 0.9)]
_SHARES = ("n.a", "n.b", "s.a")
# Each limit: its line, the products it adds up, and the most; a least is told by a minus sign.
_LIMITS = (
    ("first.rate <= 120 t/h", (1.0, 0.0, 0.0), 120.0),
    ("first.rate + second.rate <= 190 t/h", (1.0, 1.0, 0.0), 190.0),
    ("third.rate >= 60 t/h", (0.0, 0.0, -1.0), -60.0),
)


def _solved(prices: tuple[float, float, float]) -> Any:
    weights = np.array(prices)
    upper = [np.array(kinds) @ _RATES for _, kinds, _ in _LIMITS]
    limits = [most - np.array(kinds) @ _WHOLE for _, kinds, most in _LIMITS]
    # The third outlet of the north splitter takes the rest, which is not below nothing.
    upper.append(np.array([1.0, 1.0, 0.0]))
    limits.append(1.0)
    return linprog(-weights @ _RATES, A_ub=np.array(upper), b_ub=limits, bounds=_BOUNDS)


@pytest.mark.parametrize("prices", [(12, 9, 4), (3, 9, 4), (5, 1, 4), (4, 5, 6), (10, 11, 2)])
def test_optimum_and_worths_are_those_of_linear_programming(prices: tuple[int, int, int]) -> None:
    aim = " + ".join(
        f"{price} * {name}.rate"
        for price, name in zip(prices, ("first", "second", "third"), strict=True)
    )
    lines = "\n".join(f"  require {line}" for line, _, _ in _LIMITS)
    design = design_of(divided(f"  maximize {aim}\n{lines}")).design
    exact = _solved(prices)
    best = -exact.fun + np.array(prices) @ _WHOLE
    assert design.aims[0].exact == pytest.approx(best, rel=1e-6)
    # Rounded settings can't beat the optimum, and half a per cent of a share costs little.
    assert best * 0.99 <= design.aims[0].value <= best * (1 + 1e-9)
    lines_of = [line for line, _, _ in _LIMITS]
    for requirement in design.requirements:
        worth = -exact.ineqlin.marginals[lines_of.index(requirement.text)]
        assert requirement.binds == (worth > 1e-9)
        if requirement.binds:
            (found,) = requirement.worths
            assert found.by_multiplier == pytest.approx(worth, rel=1e-4)
            assert found.by_search == pytest.approx(worth, rel=1e-3)
    marginals = dict(
        zip(_SHARES, zip(exact.lower.marginals, exact.upper.marginals, strict=True), strict=True)
    )
    for setting in design.settings:
        lower, upper = marginals[setting.name]
        end = "lower" if lower > 1e-6 else "upper" if upper < -1e-6 else ""
        assert setting.end == end
        if end:  # a marginal is for a whole share, the worth for one per cent
            assert setting.end_worth == pytest.approx((lower - upper) / 100, rel=1e-3)


def test_a_requirement_relaxed_by_its_worth_brings_what_was_told() -> None:
    lines = (
        "  maximize 12 * first.rate + 9 * second.rate + 4 * third.rate\n  require {} <= {} t/h\n"
    )
    before, after = (
        design_of(divided(lines.format("first.rate", limit))).design for limit in (120, 121)
    )
    (worth,) = before.requirements[0].worths
    assert after.aims[0].exact - before.aims[0].exact == pytest.approx(worth.by_search, rel=1e-3)


def test_money_an_hour_is_prices_times_rates() -> None:
    """By hand: the optimum has n.a + n.b and s.a as their limits leave them; the value is that of
    the sum of rates times prices, here read off the found rates themselves."""
    text = divided("  currency EUR\n  maximize 12 EUR/t * first.rate + 9 EUR/t * second.rate\n")
    design = design_of(text).design
    assert design.aims[0].unit == "EUR/h"
    shares = {one.name: float(one.written.split()[0]) / 100 for one in design.settings}
    first = 200 * shares["n.a"] + 100 * shares["s.a"]
    second = 200 * shares["n.b"]
    assert design.aims[0].value == pytest.approx(12 * first + 9 * second, rel=1e-9)
    # 12 a tonne of first against 9 of second and nothing of third: all that can be first is first.
    assert shares == pytest.approx({"n.a": 0.7, "n.b": 0.3, "s.a": 0.9})


@settings(max_examples=6, deadline=None, derandomize=True)
@given(
    prices=st.tuples(*[st.integers(1, 20)] * 3),
    most=st.tuples(st.integers(60, 200), st.integers(90, 240), st.integers(20, 200)),
)
def test_any_linear_plant_is_designed_as_linear_programming_does(
    prices: tuple[int, int, int], most: tuple[int, int, int]
) -> None:
    kinds = ((1.0, 0.0, 0.0), (1.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    rows = [np.array(kind) @ _RATES for kind in kinds]
    limits = [limit - np.array(kind) @ _WHOLE for limit, kind in zip(most, kinds, strict=True)]
    rows.append(np.array([1.0, 1.0, 0.0]))
    limits.append(1.0)
    weights = np.array(prices)
    exact = linprog(-weights @ _RATES, A_ub=np.array(rows), b_ub=limits, bounds=_BOUNDS)
    names = ("first.rate", "first.rate + second.rate", "third.rate")
    required = "".join(
        f"  require {name} <= {limit} t/h\n" for name, limit in zip(names, most, strict=True)
    )
    aim = f"{prices[0]} * first.rate + {prices[1]} * second.rate + {prices[2]} * third.rate"
    text = divided(f"{required}  maximize {aim}\n")
    if exact.status == 2:  # infeasible
        assert design_of(text, starts=16).design.conflict is not None
        return
    try:
        design = design_of(text, starts=16).design
    except HogginError as fault:  # a set met at a point alone may hold no shares that can be set
        assert "no revision can be written" in str(fault)
        return
    assert exact.fun is not None
    best = weights @ _WHOLE - exact.fun
    assert design.aims[0].exact == pytest.approx(best, rel=1e-5)
