"""A study gives the same numbers in one process and in several."""

from __future__ import annotations

import pickle

import pytest
from tests.studies.runner.samples import same

from hoggin.studies.runner.spread import Batch, Here, Part, Work

pytestmark = pytest.mark.slow


def test_work_survives_being_sent(work: Work, batches: list[Batch], alone: list[Part]) -> None:
    sent = pickle.loads(pickle.dumps(work))
    assert same(sent.done(batches[0]), alone[0])


@pytest.mark.parametrize("processes", [1, 2])
def test_here_every_batch_comes_once_and_as_if_alone(
    work: Work, batches: list[Batch], alone: list[Part], processes: int
) -> None:
    parts = dict(Here(processes).parts(work, batches))
    assert sorted(parts) == list(range(len(batches)))
    assert all(same(parts[number], alone[number]) for number in parts)
