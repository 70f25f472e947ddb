"""Moist feed in a squeezing chamber; the rule is common practice, no source, and worked by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoggin.models.packing import moist_capacity_share, packing_likely


def test_each_per_cent_beyond_the_limit_costs_its_share() -> None:
    found = moist_capacity_share([0.02, 0.04, 0.05, 0.06], limit=0.04, loss=0.08)
    np.testing.assert_allclose(found, [1.0, 1.0, 0.92, 0.84])


@given(moisture=st.floats(0.0, 0.5), wetter=st.floats(0.0, 0.5), loss=st.floats(0.0, 0.5))
def test_more_water_never_adds_capacity_and_some_is_left(
    moisture: float, wetter: float, loss: float
) -> None:
    dry, wet = moist_capacity_share([moisture, moisture + wetter], limit=0.03, loss=loss)
    assert 0.3 <= wet <= dry <= 1.0


@pytest.mark.parametrize(
    ("moisture", "fines", "likely"),
    [(0.05, 0.15, True), (0.05, 0.08, False), (0.03, 0.15, False), (0.04, 0.15, False)],
)
def test_it_takes_both_water_and_fines_to_pack(moisture: float, fines: float, likely: bool) -> None:
    assert packing_likely(moisture, fines) is likely
    assert packing_likely(moisture, fines, moisture_limit=0.5) is False
