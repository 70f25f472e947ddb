"""No document depends on the last digits of a sum.

Python from 3.12 on adds floats with compensation (docs.python.org, `sum`, changed in 3.12), numpy's
versions and the kernels of a processor add in different orders. `math.fsum` rounds once, so it is
the same on all of them.
"""

from __future__ import annotations

import builtins
import sys
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from hoggin import balancing
from hoggin.balance import balance
from hoggin.balance.result import Array, Balance
from hoggin.check.checker import check_file
from hoggin.commands.main import main
from hoggin.schema.plant import Plant

pytestmark = pytest.mark.slow

EXAMPLES = Path(__file__).parents[2] / "examples"
PLANTS = ("quarry", "sand", "seasons")


@pytest.mark.parametrize("name", ["cones", "sand", "seasons", "tabulated"])
@pytest.mark.parametrize("command", ["issue", "report"])
def test_no_floats_are_added_by_the_sum_that_python_changed(
    name: str, command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = builtins.sum
    seen: list[str] = []

    def watched(items: Iterable[Any], /, start: Any = 0) -> Any:
        kept = list(items)
        caller = sys._getframe(1)
        if caller.f_globals.get("__name__", "").startswith("hoggin.") and any(
            type(item) is float for item in kept
        ):
            seen.append(f"{caller.f_code.co_filename}:{caller.f_lineno}")
        return plain(kept, start)

    monkeypatch.setattr(builtins, "sum", watched)
    assert main([command, str(EXAMPLES / f"{name}.hog"), "--into", str(tmp_path / "out")]) == 0
    assert seen == []


def _moved(values: Array, chance: np.random.Generator) -> Array:
    """Each by up to four units in its last place, as another order of its sum may."""
    return values * (1.0 + chance.integers(-4, 5, values.shape) * np.finfo(float).eps)


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("name", PLANTS)
def test_results_do_not_jump_with_the_last_digits_of_a_balance(
    name: str, seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A threshold that a stated number stands on exactly, as 1.5 % of moisture, is no coin toss."""
    chance = np.random.default_rng(seed)

    def elsewhere(plant: Plant) -> Balance:
        found = balance(plant)
        water = replace(found.water, streams_t_h=_moved(found.water.streams_t_h, chance))
        return replace(
            found,
            streams_t_h=_moved(found.streams_t_h, chance),
            machine_feeds_t_h=_moved(found.machine_feeds_t_h, chance),
            water=water,
        )

    checked = check_file(EXAMPLES / f"{name}.hog")
    here = balancing.balanced(checked)
    monkeypatch.setattr(balancing, "balance", elsewhere)
    assert balancing.balanced(checked).model_dump_json() == here.model_dump_json()
