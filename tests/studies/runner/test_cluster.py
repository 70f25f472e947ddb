"""A study on a dask cluster: the same numbers, whoever dies; and a sentence for what can't go on.

The clusters are real ones of `distributed`, of processes on the loopback address.
"""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.studies.runner.samples import same

from hoggin.commands.main import main
from hoggin.pool import PoolError
from hoggin.studies.runner import cluster as module
from hoggin.studies.runner.cluster import Cluster, Made
from hoggin.studies.runner.spread import Batch, Part, Work

pytestmark = pytest.mark.slow
_PATIENCE_S = 120.0
_BLANK = "raise ModuleNotFoundError(\"No module named 'hoggin'\")\n"


class Grid:
    """A scheduler and workers, each a process of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.workers: list[subprocess.Popen[bytes]] = []
        place = folder / "scheduler.json"
        self.scheduler = self._started("scheduler", "--port", "0", "--scheduler-file", str(place))
        end = time.monotonic() + _PATIENCE_S
        while not (place.exists() and place.read_text().endswith("}")):
            assert self.scheduler.poll() is None and time.monotonic() < end
            time.sleep(0.05)
        self.address: str = json.loads(place.read_text())["address"]

    def add(self, *, path: Path | None = None) -> subprocess.Popen[bytes]:
        """A worker, once the scheduler knows it. `path` goes before where Python finds hoggin."""
        known = set(Cluster(self.address)._workers())
        options = ("--nthreads", "1", "--no-nanny", "--no-dashboard")
        worker = self._started("worker", self.address, *options, path=path)
        self.workers.append(worker)
        end = time.monotonic() + _PATIENCE_S
        while not set(Cluster(self.address)._workers()) - known:
            assert worker.poll() is None and time.monotonic() < end
            time.sleep(0.1)
        return worker

    def _started(self, *arguments: str, path: Path | None = None) -> subprocess.Popen[bytes]:
        paths = [str(path)] if path is not None else []
        return subprocess.Popen(
            [sys.executable, "-m", "dask", *arguments, "--host", "127.0.0.1"],
            cwd=self.folder,
            env={**os.environ, "PYTHONPATH": os.pathsep.join([*paths, *sys.path])},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )

    def end(self) -> None:
        for process in (*self.workers, self.scheduler):
            process.kill()
            process.wait()


@pytest.fixture
def grid(tmp_path: Path) -> Iterator[Grid]:
    made = Grid(tmp_path)
    try:
        yield made
    finally:
        made.end()


def test_workers_that_are_restarted_one_after_another_lose_nothing(
    work: Work, batches: list[Batch], alone: list[Part], grid: Grid
) -> None:
    """In the end none of the first ones is left."""
    grid.add()
    grid.add()
    parts: dict[int, Part] = {}
    for number, part in Cluster(grid.address).parts(work, batches):
        if len(parts) < 2:
            how = (signal.SIGKILL, signal.SIGTERM)[len(parts)]
            grid.workers[len(parts)].send_signal(how)
            grid.add()
        parts[number] = part
    assert sorted(parts) == list(range(len(batches)))
    assert all(same(parts[number], alone[number]) for number in parts)


def _ended(grid: Grid, work: Work, batches: list[Batch], *victims: subprocess.Popen[bytes]) -> str:
    """What a study says that loses processes after its first batch."""
    parts = Cluster(grid.address).parts(work, batches)
    next(parts)
    for victim in victims:
        victim.kill()
    with pytest.raises(PoolError) as ended:
        list(parts)
    return str(ended.value)


def test_a_scheduler_that_is_killed_ends_the_study_with_a_sentence(
    work: Work, batches: list[Batch], grid: Grid, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "ANSWER_S", 3.0)
    grid.add()
    assert "can't be reached" in _ended(grid, work, batches, grid.scheduler)


def test_workers_that_do_not_come_back_end_the_study_with_a_sentence(
    work: Work, batches: list[Batch], grid: Grid, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "WORKERLESS_S", 1.0)
    said = _ended(grid, work, batches, grid.add(), grid.add())
    assert said.endswith("has had no workers for 1 s")


def test_a_cluster_without_workers_is_a_sentence(
    work: Work, batches: list[Batch], grid: Grid, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "WORKERLESS_S", 1.0)
    with pytest.raises(PoolError, match="has had no workers"):
        next(Cluster(grid.address).parts(work, batches))


def test_a_worker_without_hoggin_is_named(work: Work, batches: list[Batch], grid: Grid) -> None:
    blank = grid.folder / "blank" / "hoggin"
    blank.mkdir(parents=True)
    (blank / "__init__.py").write_text(_BLANK, encoding="utf-8")
    grid.add()
    grid.add(path=blank.parent)
    with pytest.raises(PoolError, match=r"`tcp://127.*` failed, .*No module named 'hoggin'"):
        next(Cluster(grid.address).parts(work, batches))


@pytest.mark.parametrize("when", ["before", "joined later"])
def test_a_worker_of_another_build_is_refused(
    work: Work, batches: list[Batch], grid: Grid, when: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One that joins later is compared with its first batch."""
    if when == "joined later":
        monkeypatch.setattr(Cluster, "_refuse_other_builds", lambda *_: None)
    monkeypatch.setattr(module, "build", lambda: "another build")
    grid.add()
    with pytest.raises(PoolError, match=r"`tcp://127.*` has hoggin .* in place of .*another"):
        next(Cluster(grid.address).parts(work, batches))


def test_builds_are_told_apart_by_version_by_code_and_by_what_they_compute_with() -> None:
    here = Made("1.0", "a" * 64, "f" * 64)
    assert here.difference(here) == ""
    assert "hoggin 1.1" in here.difference(Made("1.1", here.build, here.fingerprint))
    assert "(build bbbbbbbb)" in here.difference(Made("1.0", "b" * 64, here.fingerprint))
    assert "numpy" in here.difference(Made("1.0", here.build, "e" * 64))


def test_a_port_that_takes_connections_and_stays_silent_is_a_sentence(
    work: Work, batches: list[Batch], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "ANSWER_S", 1.0)
    with socket.create_server(("127.0.0.1", 0)) as silent:
        address = f"tcp://127.0.0.1:{silent.getsockname()[1]}"
        with pytest.raises(PoolError, match="can't be reached: no answer within 1 s"):
            next(Cluster(address).parts(work, batches))


@pytest.mark.parametrize(
    ("address", "said"),
    [
        ("tcp://127.0.0.1:1", ""),
        ("tls://127.0.0.1:1", "`tls` is not set up on this computer"),
        ("ucx://127.0.0.1:1", "`ucx` is not set up on this computer"),
        ("nonsense", "missing port number"),
        ("odd://127.0.0.1:1", "unknown address scheme"),
        ("inproc://x", ""),
        ("", "missing port number"),
    ],
)
def test_an_address_without_a_scheduler_is_a_sentence(
    work: Work, batches: list[Batch], address: str, said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "ANSWER_S", 2.0)
    with pytest.raises(PoolError) as ended:
        next(Cluster(address).parts(work, batches))
    assert f"the scheduler at `{address}` can't be reached: " in str(ended.value)
    assert said in str(ended.value) and "\n" not in str(ended.value)


@pytest.mark.parametrize("command", ["sweep", "uncertainty", "design"])
def test_an_empty_address_is_not_taken_for_this_computer(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        main([command, "plant.hog", "--cluster", ""])
    assert ended.value.code == 2
    assert "--cluster: the address is empty" in capsys.readouterr().err


def test_a_lost_cluster_ends_the_command_and_what_is_finished_can_go_on(
    tmp_path: Path, grid: Grid
) -> None:
    """As a user runs it: nothing but a sentence on the terminal."""
    from tests.commands.test_studies import contents, plant

    file, into, whole = plant(tmp_path), tmp_path / "out", tmp_path / "whole"
    study = [sys.executable, "-m", "hoggin", "uncertainty", str(file), "--samples", "20000"]
    study += ["--no-ranking", "--into"]
    grid.add()
    command = [*study, str(into), "--cluster", grid.address]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        kept = into / "unfinished.study"
        while not (kept.exists() and kept.read_bytes().count(b"\n") > 2):
            assert process.poll() is None
            time.sleep(0.01)
        grid.scheduler.kill()
        out, said = process.communicate(timeout=_PATIENCE_S)
    *_, last = said.decode().splitlines()
    assert (process.returncode, out) == (2, b"")
    assert last.startswith("hoggin: the scheduler at ") and "`--resume` continues it" in last
    assert b"Traceback" not in said and b"distributed" not in said
    for folder, more in ((into, ["--resume"]), (whole, [])):
        subprocess.run([*study, str(folder), *more], check=True, capture_output=True)
    assert contents(into) == contents(whole)
