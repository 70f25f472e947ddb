"""The sample package, installed once."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.plugins.installing import install_sample


@pytest.fixture(scope="session")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("installed")
    install_sample(target)
    return target
