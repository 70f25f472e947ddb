"""Contours and feasible regions against functions known by formula."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from hoggin.report.chart.contouring import contours, region

Grid = NDArray[np.float64]


def field(nx: int, ny: int) -> tuple[Grid, Grid, Grid, Grid]:
    x, y = np.linspace(-1.0, 1.0, nx), np.linspace(-1.0, 1.0, ny)
    return x, y, *np.meshgrid(x, y)


def area(polygons: list[list[Grid]]) -> float:
    """The shoelace formula, outer rings and holes."""
    total = 0.0
    for rings in polygons:
        for place, ring in enumerate(rings):
            x, y = ring[:, 0], ring[:, 1]
            own = abs(float(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]))) / 2
            total += own if place == 0 else -own
    return total


def test_a_line_of_equal_value_of_a_plane_is_straight_and_exact() -> None:
    x, y, across, up = field(4, 7)
    (line,) = contours(x, y, 2 * across + 3 * up, 0.5)
    assert 2 * line[:, 0] + 3 * line[:, 1] == pytest.approx(np.full(len(line), 0.5), abs=1e-12)
    assert {round(float(v), 9) for v in line[[0, -1], 1]} == {
        round((0.5 - 2) / 3, 9),
        round((0.5 + 2) / 3, 9),
    }


def test_a_circle_comes_out_round() -> None:
    x, y, across, up = field(41, 41)
    (line,) = contours(x, y, across**2 + up**2, 0.49)
    assert np.hypot(*line.T) == pytest.approx(np.full(len(line), 0.7), abs=1e-3)
    assert area([[line]]) == pytest.approx(math.pi * 0.49, rel=2e-3)


def test_a_hyperbola_is_what_a_bilinear_cell_holds() -> None:
    """x y is bilinear: on a grid of one cell its lines are right but for the chords."""
    x, y = np.array([1.0, 3.0]), np.array([1.0, 3.0])
    across, up = np.meshgrid(x, y)
    (line,) = contours(x, y, across * up, 3.0)
    assert line[:, 0] * line[:, 1] == pytest.approx(np.full(len(line), 3.0), rel=5e-3)


def test_a_region_between_two_limits_has_the_area_of_the_formula() -> None:
    """x >= 0.03, y >= 0.03, x + y <= 0.97: half a square of side 0.91, its corners sharp."""
    x, y, across, up = field(5, 5)
    found = region(x, y, [across - 0.03, up - 0.03, 0.97 - across - up])
    assert area(found) == pytest.approx(0.91**2 / 2, rel=0.01)
    corners = np.concatenate([ring for rings in found for ring in rings])
    for corner in ([0.03, 0.03], [0.94, 0.03], [0.03, 0.94]):
        assert np.min(np.hypot(*(corners - np.array(corner)).T)) < 0.05


def test_a_region_may_have_a_hole() -> None:
    x, y, across, up = field(41, 41)
    found = region(x, y, [across**2 + up**2 - 0.25])
    assert [len(rings) for rings in found] == [2]
    assert area(found) == pytest.approx(4 - math.pi / 4, rel=2e-3)


def test_nothing_is_drawn_round_a_node_without_a_value() -> None:
    x, y, across, _ = field(5, 5)
    margin = 1.0 + 0 * across
    margin[2, 2] = np.nan
    found = region(x, y, [margin])
    assert area(found) == pytest.approx(4 - 1.0, rel=0.05)
    held = np.concatenate(contours(x, y, across + margin - 1, 0.0) or [np.empty((0, 2))])
    assert not ((np.abs(held[:, 0]) < 0.45) & (np.abs(held[:, 1]) < 0.45)).any()


def test_all_of_a_field_or_none_of_it() -> None:
    x, y, across, _ = field(3, 3)
    assert area(region(x, y, [1 + 0 * across])) == pytest.approx(4.0)
    assert region(x, y, [-1 + 0 * across]) == []
