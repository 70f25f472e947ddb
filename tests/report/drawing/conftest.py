from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Tests of one run share a cache, and never use the user's."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(_shared(tmp_path_factory)))


def _shared(factory: pytest.TempPathFactory) -> Path:
    folder = factory.getbasetemp() / "layouts"
    folder.mkdir(exist_ok=True)
    return folder
