"""The stated error of the flows against the true one, and circuits against ever finer classes.

Reference: `fine_reference`, with numpy and scipy alone. Circuits are scenarios of our own. Longer
runs of the same: `tests.balance.long_runs`.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from hoggin.balance import balance, with_error

from .builder import blend, feed, plant
from .long_runs import CLOSE, Compared, compared
from .test_branch import slow_cone


@pytest.mark.slow
def test_the_stated_error_is_above_the_true_one_in_nearly_all_circuits_and_not_far(
    tmp_path: Path,
) -> None:
    found = [one for one in compared(range(1000, 1200), tmp_path) if isinstance(one, Compared)]
    true, stated = (np.array([getattr(one, name) for one in found]) for name in ("error", "stated"))
    assert len(found) > 150
    assert true.max() < CLOSE
    assert (true <= stated).mean() > 0.95
    assert (stated <= 20.0 * true).mean() > 0.9
    assert np.median(stated / true) < 10.0


def test_flows_that_nothing_divides_by_size_have_the_least_error() -> None:
    a_plant = plant([feed("rock")], [blend("belt")], ["rock -> belt -> pile"])
    assert with_error(a_plant, balance(a_plant)).error[0] == 1e-4


@pytest.mark.slow
def test_the_error_is_large_or_unknown_next_to_running_away() -> None:
    at = float(balance(slow_cone(31.3)).runs_away_at[0][0])
    near = slow_cone(31.3, rate=200.0 * at * 0.9999)
    assert not with_error(near, balance(near)).error[0] < 2e-3
