"""The shared pool: every item done once, and nothing hung or left behind whatever is killed."""

from __future__ import annotations

import os
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoggin.pool import PoolError, spread

_LIMIT = 60  # seconds after which a command counts as hung

_SCRIPT = """
import os, signal, sys, time
from hoggin.interruption import interruptible
from hoggin.pool import PoolError, spread

def work(item):
    if item == "die":
        time.sleep(0.2)
        os.kill(os.getpid(), signal.SIGKILL)
    if item == "long":
        print(os.getpid(), flush=True)
        time.sleep(600)
    return item

try:
    with interruptible():
        for done in spread(work, sys.argv[2:], int(sys.argv[1])):
            print(done, flush=True)
except PoolError as fault:
    sys.exit(f"lost: {fault}")
except KeyboardInterrupt:
    sys.exit("interrupted")
"""


@pytest.fixture
def script(tmp_path: Path) -> Path:
    path = tmp_path / "script.py"
    path.write_text(_SCRIPT, encoding="utf-8")
    return path


def _run(script: Path, *arguments: str) -> subprocess.Popen[str]:
    """In a process group of its own."""
    return subprocess.Popen(
        [sys.executable, str(script), *arguments],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )


def _gone(group: int) -> bool:
    """Whether no process of a group is left."""
    end = time.monotonic() + _LIMIT
    while time.monotonic() < end:
        try:
            os.killpg(group, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.02)
    os.killpg(group, signal.SIGKILL)
    return False


def _square(number: int) -> int:
    return number * number


def _same(data: bytes) -> bytes:
    return data


def _fail(number: int) -> int:
    if number == 7:
        raise ValueError("seven")
    return number


@pytest.mark.slow
@settings(max_examples=15, deadline=None)
@given(st.lists(st.integers(), max_size=30), st.integers(1, 4))
def test_every_item_is_done_once_whatever_the_number_of_processes(
    items: list[int], processes: int
) -> None:
    found = sorted(spread(_square, items, processes))
    assert found == [(number, item * item) for number, item in enumerate(items)]


@pytest.mark.slow
def test_items_and_results_larger_than_any_pipe_do_not_block_each_other() -> None:
    items = [bytes([number]) * 3_000_000 for number in range(8)]
    assert dict(spread(_same, items, 2)) == dict(enumerate(items))


@pytest.mark.parametrize("processes", [1, 3])
def test_a_failure_of_the_work_is_raised_here(processes: int) -> None:
    with pytest.raises(ValueError, match="seven"):
        list(spread(_fail, range(20), processes))


def test_who_stops_taking_results_leaves_no_process() -> None:
    others = _children()
    taken: Iterator[tuple[int, int]] = spread(_square, range(100), 3)
    next(taken)
    assert len(_children() - others) == 3
    del taken
    assert _children() == others


def _children() -> set[str]:
    """Processes that this one started; other tests of the same run may have left some."""
    return set(Path(f"/proc/self/task/{os.getpid()}/children").read_text().split())


def test_a_process_that_kills_itself_ends_the_run_with_a_sentence(script: Path) -> None:
    run = _run(script, "2", "a", "die", "long", "b")
    _, err = run.communicate(timeout=_LIMIT)
    assert run.returncode == 1
    assert "lost: a process was ended from outside" in err
    assert _gone(run.pid)


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
@pytest.mark.parametrize("to_all", [True, False], ids=["to the group", "to the command"])
def test_an_interruption_ends_all_processes(
    script: Path, number: signal.Signals, to_all: bool
) -> None:
    run = _run(script, "2", "long", "long")
    assert run.stdout is not None
    run.stdout.readline()
    (os.killpg if to_all else os.kill)(run.pid, number)
    _, err = run.communicate(timeout=_LIMIT)
    assert err == "interrupted\n"
    assert _gone(run.pid)


def test_who_interrupts_again_and_again_interrupts_once(script: Path) -> None:
    """A second signal would break off the cleaning up after the first: a traceback, or worse."""
    run = _run(script, "3", "long", "long", "long")
    assert run.stdout is not None
    run.stdout.readline()
    with suppress(ProcessLookupError):  # it ends meanwhile
        for again in range(200):
            os.killpg(run.pid, signal.SIGTERM if again % 3 else signal.SIGINT)
    _, err = run.communicate(timeout=_LIMIT)
    assert (run.returncode, err) == (1, "interrupted\n")
    assert _gone(run.pid)


def test_a_signal_that_was_ignored_from_the_start_stays_ignored(script: Path) -> None:
    """As a shell starts a command in the background."""
    start = "import os, signal, sys; signal.signal(signal.SIGINT, signal.SIG_IGN); "
    start += "os.execv(sys.executable, [sys.executable, *sys.argv[1:]])"
    run = subprocess.Popen(
        [sys.executable, "-c", start, str(script), "1", "long"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert run.stdout is not None
    run.stdout.readline()
    run.send_signal(signal.SIGINT)
    run.send_signal(signal.SIGTERM)
    _, err = run.communicate(timeout=_LIMIT)
    assert (run.returncode, err) == (1, "interrupted\n")


def test_processes_end_with_a_command_that_is_killed(script: Path) -> None:
    run = _run(script, "3", "long", "long", "long")
    assert run.stdout is not None
    run.stdout.readline()
    os.kill(run.pid, signal.SIGKILL)
    _, err = run.communicate(timeout=_LIMIT)
    assert err == ""
    assert _gone(run.pid)


@pytest.mark.slow
def test_a_result_that_breaks_off_is_a_process_lost() -> None:
    """Killed while it sends some megabytes that this side has not read yet."""
    others = _children()
    taken = spread(_same, [bytes(20_000_000)] * 4, 2)
    next(taken)
    time.sleep(0.5)  # the others are sending, into a full pipe
    for child in _children() - others:
        os.kill(int(child), signal.SIGKILL)
    with pytest.raises(PoolError, match="ended from outside"):
        list(taken)
    assert _children() == others


def test_too_few_file_handles_are_told() -> None:
    others = _children()
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    resource.setrlimit(resource.RLIMIT_NOFILE, (len([*Path("/proc/self/fd").iterdir()]) + 8, hard))
    try:
        with pytest.raises(PoolError, match=r"30 processes can't be started: too many open files"):
            list(spread(_square, range(100), 30))
    finally:
        resource.setrlimit(resource.RLIMIT_NOFILE, (soft, hard))
    assert _children() == others


_REFUSALS = {
    "no fork": ("os.fork", "BlockingIOError(11, 'Resource temporarily unavailable')", 0),
    "no second fork": ("os.fork", "OSError(12, 'Cannot allocate memory')", 1),
    "no thread": ("threading.Thread.start", 'RuntimeError("can\'t start new thread")', 0),
}
"""What the system refuses, by the function that then raises, after how many calls."""


@pytest.mark.parametrize("refusal", _REFUSALS)
def test_a_process_that_the_system_refuses_is_a_sentence(refusal: str, tmp_path: Path) -> None:
    name, error, allowed = _REFUSALS[refusal]
    fault = f"""
import os, threading
real, left = {name}, {allowed}

def refused(*arguments):
    global left
    left -= 1
    if left < 0:
        raise {error}
    return real(*arguments)

{name} = refused
"""
    script = tmp_path / "script.py"
    script.write_text(fault + _SCRIPT, encoding="utf-8")
    run = _run(script, "3", "a", "b", "c")
    _, err = run.communicate(timeout=_LIMIT)
    assert run.returncode == 1
    assert err.startswith("lost: ") and err.endswith("try one process\n") and err.count("\n") == 1
    assert _gone(run.pid)
