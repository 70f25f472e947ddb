"""Packages to look into: the main example as compiled, and the sample results of the backends."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.balancing import balanced
from hoggin.check.checker import check_file
from hoggin.report.package.package import package
from hoggin.schema.results import Results
from tests.report import emit_sample

EXAMPLE = Path(__file__).parents[3] / "examples" / "quarry.hog"
SAMPLES = ("example", "hostile", "large")


@pytest.fixture(scope="session")
def example() -> Results:
    """The main example, with all that the compiler knows of it."""
    results = balanced(check_file(EXAMPLE))
    assert results is not None
    return results


@pytest.fixture(scope="session")
def results(example: Results) -> dict[str, Results]:
    return {"example": example, "hostile": emit_sample.hostile(), "large": emit_sample.large()}


@pytest.fixture(scope="session")
def packages(results: dict[str, Results]) -> dict[str, dict[str, bytes]]:
    return {name: package(results[name]) for name in SAMPLES}
