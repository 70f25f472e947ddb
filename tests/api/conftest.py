"""The gravel plant (invented), loaded and balanced once."""

from __future__ import annotations

from pathlib import Path

import pytest

import hoggin

ROOT = Path(__file__).parents[2]
GRAVEL = ROOT / "examples" / "gravel.hog"


@pytest.fixture(scope="session")
def plant() -> hoggin.Plant:
    return hoggin.load(GRAVEL)


@pytest.fixture(scope="session")
def result(plant: hoggin.Plant) -> hoggin.Result:
    return plant.balance()
