"""Plants to draw, and their drawings."""

from __future__ import annotations

import pytest

from hoggin.report.drawing.model import Drawing
from hoggin.report.drawing.sheet import drawing
from hoggin.schema.results import Results

from .sample import hand_set, hostile, plant


@pytest.fixture(scope="package", params=["quarry", "sand", "hostile"])
def results(request: pytest.FixtureRequest) -> Results:
    return hostile(plant("sand")) if request.param == "hostile" else plant(request.param)


@pytest.fixture(scope="package")
def drawn(results: Results) -> Drawing:
    return drawing(results, [hand_set(results)])
