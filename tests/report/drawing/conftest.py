"""Plants to draw, and their drawings."""

from __future__ import annotations

from pathlib import Path

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


@pytest.fixture(autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Tests of one run share a cache, and never use the user's."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(_shared(tmp_path_factory)))


def _shared(factory: pytest.TempPathFactory) -> Path:
    folder = factory.getbasetemp() / "layouts"
    folder.mkdir(exist_ok=True)
    return folder
