"""A study gives the same numbers wherever it runs, and loses none with a worker that dies.

The cluster is a real one of `distributed` on loopback, of two worker processes.
"""

from __future__ import annotations

import os
import pickle
import signal
from collections.abc import Iterator

import numpy as np
import pytest
from distributed import LocalCluster
from tests.studies.runner.test_cases import drawn, freed_quarry

from hoggin.errors import HogginError
from hoggin.schema.plant import Reading
from hoggin.studies.runner.spread import Batch, Cluster, Here, Part, Work


@pytest.fixture(scope="module")
def work() -> Work:
    checked = freed_quarry()
    assert checked.plant is not None
    return Work(
        checked.plant,
        checked.freedom,
        (Reading(subject="chips", quantity="rate"), Reading(subject="secondary", quantity="load")),
        checked.plant.requirements,
    )


@pytest.fixture(scope="module")
def batches(work: Work) -> list[Batch]:
    random = np.random.default_rng(3)
    variables = work.freedom.variables.items()
    return [{name: drawn(v, 5, random) for name, v in variables} for _ in range(8)]


@pytest.fixture(scope="module")
def alone(work: Work, batches: list[Batch]) -> list[Part]:
    return [work.done(batch) for batch in batches]


@pytest.fixture
def cluster() -> Iterator[LocalCluster]:
    with LocalCluster(
        n_workers=2,
        threads_per_worker=1,
        processes=True,
        host="127.0.0.1",
        dashboard_address=None,
        silence_logs=50,
    ) as made:
        yield made


def same(found: Part, expected: Part) -> bool:
    return (
        np.array_equal(found.values, expected.values, equal_nan=True)
        and np.array_equal(found.margins, expected.margins, equal_nan=True)
        and np.array_equal(found.settled, expected.settled)
    )


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


def test_on_a_cluster_a_worker_killed_in_mid_study_loses_nothing(
    work: Work,
    batches: list[Batch],
    alone: list[Part],
    cluster: LocalCluster,
) -> None:
    victims = [worker.pid for worker in cluster.workers.values()]
    parts: dict[int, Part] = {}
    for number, part in Cluster(cluster.scheduler_address).parts(work, batches):
        if not parts:
            os.kill(victims[0], signal.SIGKILL)
        parts[number] = part
    assert sorted(parts) == list(range(len(batches)))
    assert all(same(parts[number], alone[number]) for number in parts)


def test_a_scheduler_that_is_not_there_is_a_plain_sentence(
    work: Work, batches: list[Batch]
) -> None:
    with pytest.raises(HogginError, match="can't be reached"):
        next(iter(Cluster("tcp://127.0.0.1:1").parts(work, batches)))
