"""Sample results as fixtures, for the tests of the backends and of the page (an invented scenario:
see emit_sample.py)."""

from __future__ import annotations

import pytest

from hoggin.schema.results import Results

from . import emit_sample


@pytest.fixture(scope="session")
def quarry() -> Results:
    return emit_sample.quarry()


@pytest.fixture(scope="session")
def small() -> Results:
    return emit_sample.small()


@pytest.fixture(scope="session")
def large() -> Results:
    return emit_sample.large()


@pytest.fixture(scope="session")
def hostile() -> Results:
    return emit_sample.hostile()
