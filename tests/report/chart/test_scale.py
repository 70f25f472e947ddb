"""Axes: round ticks, whole decades of sizes, numbers as wide as they need."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoggin.report.chart.scale import decimals, linear, sizes, ticks


@pytest.mark.parametrize(
    ("low", "high", "about", "expected"),
    [
        (0.0, 1.0, 5, [0.0, 0.2, 0.4, 0.6, 0.8, 1.0]),
        (34.0, 50.0, 6, [35, 40, 45, 50]),
        (-3.0, 7.0, 4, [-2.5, 0, 2.5, 5]),
        (0.0012, 0.0018, 3, [0.0012, 0.0014, 0.0016, 0.0018]),
    ],
)
def test_ticks_are_round(low: float, high: float, about: int, expected: list[float]) -> None:
    assert ticks(low, high, about) == pytest.approx(expected)


def test_numbers_have_four_figures_of_the_largest() -> None:
    assert [decimals([v]) for v in (450.0, 52.768, 1.4, 0.00169, 12345.0)] == [1, 2, 3, 6, 0]
    assert decimals([None, 3.0, 250.0]) == 1


def test_neighbouring_ticks_are_told_apart() -> None:
    assert [words for _, words in linear(0.0, 1.0, 5).marks] == [
        "0.0", "0.2", "0.4", "0.6", "0.8", "1.0",
    ]  # fmt: skip


@given(st.floats(1e-3, 1e3), st.floats(2.0, 1e3))
def test_a_size_axis_goes_from_tick_to_tick_and_holds_all_sizes(low: float, ratio: float) -> None:
    axis = sizes(low, low * ratio)
    values = [value for value, _ in axis.marks]
    assert (axis.low, axis.high) == (values[0], values[-1])
    assert axis.low <= low * 1.001 and axis.high >= low * ratio * 0.999
    assert all(b / a == pytest.approx(2.0) or b / a == pytest.approx(2.5)
               for a, b in pairwise(values))  # fmt: skip
