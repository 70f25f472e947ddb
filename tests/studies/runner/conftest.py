"""A study of the example plant in batches, and what each batch gives alone."""

from __future__ import annotations

import numpy as np
import pytest
from tests.studies.runner.test_cases import drawn, freed_quarry

from hoggin.schema.plant import Reading
from hoggin.studies.runner.spread import Batch, Part, Work


@pytest.fixture(scope="session")
def work() -> Work:
    checked = freed_quarry()
    assert checked.plant is not None
    return Work(
        checked.plant,
        checked.freedom,
        (Reading(subject="chips", quantity="rate"), Reading(subject="secondary", quantity="load")),
        checked.plant.requirements,
    )


@pytest.fixture(scope="session")
def batches(work: Work) -> list[Batch]:
    random = np.random.default_rng(3)
    variables = work.freedom.variables.items()
    return [{name: drawn(v, 5, random) for name, v in variables} for _ in range(8)]


@pytest.fixture(scope="session")
def alone(work: Work, batches: list[Batch]) -> list[Part]:
    return [work.done(batch) for batch in batches]
