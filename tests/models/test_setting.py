"""Travel of a liner against the gap it opens, from plane geometry worked another way."""

from __future__ import annotations

import numpy as np
import pytest

from hoggin.models.setting import gap_of_lift_mm, lift_for_gap_mm


@pytest.mark.parametrize("angle_deg", [20.0, 45.0, 60.0])
def test_the_gap_is_the_distance_of_two_parallel_walls_one_lifted(angle_deg: float) -> None:
    """Plane geometry, without a sine: both walls run along u = (sin a, -cos a) in a plane with the
    axis upright; the gap is the distance from a point of the lifted wall to the other line."""
    wall = np.array([np.sin(np.radians(angle_deg)), -np.cos(np.radians(angle_deg))])
    lifted = np.array([0.0, 30.0])  # mm, straight up
    distance = np.linalg.norm(lifted - (lifted @ wall) * wall)
    assert gap_of_lift_mm(30.0, angle_deg) == pytest.approx(distance)


def test_by_hand_at_30_degrees_the_travel_is_twice_the_gap() -> None:
    assert lift_for_gap_mm(20.0, 30.0) == pytest.approx(40.0)  # sin 30 = 1/2
    assert gap_of_lift_mm(40.0, 30.0) == pytest.approx(20.0)


def test_a_flat_chamber_opens_by_all_of_the_travel() -> None:
    assert gap_of_lift_mm(17.0, 90.0) == pytest.approx(17.0)  # by definition


def test_a_steeper_chamber_needs_more_travel_for_the_same_gap() -> None:
    travel = lift_for_gap_mm(15.0, np.array([60.0, 45.0, 30.0]))
    assert travel.shape == (3,)
    assert np.all(np.diff(travel) > 0.0)


@pytest.mark.parametrize("angle_deg", [0.0, -10.0, 91.0])
def test_an_angle_that_cannot_be_is_refused(angle_deg: float) -> None:
    with pytest.raises(ValueError, match="angle"):
        lift_for_gap_mm(10.0, angle_deg)
