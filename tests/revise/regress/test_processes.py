"""Real commands in real processes: interrupted, killed, several at once, on a terminal."""

from __future__ import annotations

import os
import pty
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from hoggin.commands.main import main
from hoggin.revise.regress.cache import open_cache

from .conftest import ACCEPT, edit

pytestmark = pytest.mark.slow

COMMAND = [sys.executable, "-m", "hoggin", "regress", "plants"]
STANDARD = Path(__file__).parents[3] / "examples" / "standard"


@pytest.fixture
def many(project: Path) -> Path:
    """A project that takes a while: 400 cases beside two plants. The plants are recorded as they
    were before the last edit."""
    main(["regress", "plants", *ACCEPT])
    values = ", ".join(f'"{100 + number} t/h"' for number in range(400))
    text = f'[[grid]]\nplant = "east.hog"\nvary.flow = [{values}]\n'
    (project / "regression.toml").write_text(text, encoding="utf-8")
    edit(project / "east.hog", "share: 30 %", "share: 40 %")
    return project


def _records(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.glob("recorded/*")}


def _entries(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


@pytest.fixture
def running(many: Path, own_cache: Path) -> Iterator[subprocess.Popen[str]]:
    """A command that is balancing, in a process group of its own."""
    del many
    before = _entries(own_cache)
    command = subprocess.Popen(
        [*COMMAND, *ACCEPT, "--jobs", "2"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    while len(_entries(own_cache) - before) < 8:
        assert command.poll() is None, "it was done before it could be interrupted"
        time.sleep(0.002)
    yield command
    if command.poll() is None:
        os.killpg(command.pid, signal.SIGKILL)
    command.communicate()


def _gone(group: int) -> bool:
    """Whether no process of a group is left."""
    for _ in range(500):
        try:
            os.killpg(group, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.02)
    return False


@pytest.mark.parametrize("to_all", [True, False], ids=["to the group", "to the command"])
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_an_interruption_leaves_records_and_cache_whole(
    running: subprocess.Popen[str],
    many: Path,
    own_cache: Path,
    number: signal.Signals,
    to_all: bool,
) -> None:
    before = _records(many)
    (os.killpg if to_all else os.kill)(running.pid, number)
    out, err = running.communicate(timeout=60)
    assert running.returncode == 130
    assert "interrupted" in err and "Traceback" not in err and out == ""
    assert _gone(running.pid)
    assert _records(many) == before
    cache = open_cache()
    for name in _entries(own_cache):
        if not name.startswith(".draft-"):
            assert cache._read(name)  # whole, by its own checksum
    (many / "regression.toml").unlink()
    assert main(["regress", "plants", *ACCEPT]) == 0
    assert main(["regress", "plants"]) == 0


def test_a_command_that_is_killed_takes_its_workers_with_it(
    running: subprocess.Popen[str], many: Path
) -> None:
    before = _records(many)
    os.kill(running.pid, signal.SIGKILL)
    running.communicate(timeout=60)
    assert _gone(running.pid)
    assert _records(many) == before


def test_a_worker_that_is_killed_is_told(running: subprocess.Popen[str]) -> None:
    children = Path(f"/proc/{running.pid}/task/{running.pid}/children").read_text().split()
    os.kill(int(children[-1]), signal.SIGKILL)
    _, err = running.communicate(timeout=60)
    assert running.returncode == 2
    assert "ended from outside" in err and "Traceback" not in err
    assert _gone(running.pid)


def test_an_interruption_while_records_are_written_puts_all_back(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The third rename of a file is interrupted: one record has been renamed by then."""
    main(["regress", "plants", *ACCEPT])
    before = _records(project)
    for name in ("east", "west"):
        edit(project / f"{name}.hog", "share: 30 %", "share: 40 %")
    real, renamed = Path.replace, []

    def interrupted(self: Path, target: Path) -> Path:
        if "recorded" in str(target):
            renamed.append(target)
            if len(renamed) == 2:
                raise KeyboardInterrupt
        return real(self, target)

    monkeypatch.setattr(Path, "replace", interrupted)
    assert main(["regress", "plants", *ACCEPT, "--no-cache"]) == 130
    assert len(renamed) >= 2
    assert _records(project) == before
    assert not list(project.glob(".hoggin-*"))


def test_commands_at_once_agree_and_leave_a_whole_cache(project: Path, own_cache: Path) -> None:
    values = ", ".join(f'"{100 + number} t/h"' for number in range(30))
    text = f'[[grid]]\nplant = "east.hog"\nvary.flow = [{values}]\n'
    (project / "regression.toml").write_text(text, encoding="utf-8")
    commands = [
        subprocess.Popen(
            [*COMMAND, *ACCEPT],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for _ in range(4)
    ]
    for command in commands:
        _, err = command.communicate(timeout=120)
        assert (command.returncode, err) == (0, "")
    records = _records(project)
    assert len(records) == 32
    cache = open_cache()
    assert _entries(own_cache)
    assert all(cache._read(name) for name in _entries(own_cache))
    done = subprocess.run(COMMAND, capture_output=True, text=True, check=False)
    assert done.returncode == 0 and "32 hold; 32 unchanged" in done.stdout
    for path in project.glob("recorded/*"):
        path.unlink()
    assert main(["regress", "plants", *ACCEPT, "--no-cache"]) == 0
    assert _records(project) == records


def test_the_bar_is_drawn_on_a_terminal_and_cleared(project: Path) -> None:
    assert project.exists()
    leader, follower = pty.openpty()
    command = subprocess.Popen(
        COMMAND, stdout=subprocess.DEVNULL, stderr=follower, env={**os.environ, "TERM": "xterm"}
    )
    os.close(follower)
    drawn = b""
    while True:
        try:
            part = os.read(leader, 4096)
        except OSError:  # the other end is closed
            break
        if not part:
            break
        drawn += part
    assert command.wait() == 5
    os.close(leader)
    assert b"3 of 3 done" in drawn
    assert drawn.endswith(b"\r\x1b[K")


def test_without_a_terminal_nothing_is_drawn(project: Path) -> None:
    assert project.exists()
    done = subprocess.run(COMMAND, capture_output=True, text=True, check=False)
    assert done.returncode == 5 and done.stderr == ""


def test_the_examples_hold_against_what_was_just_recorded(tmp_path: Path) -> None:
    for file in STANDARD.glob("*.hog"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    for more, code in (([*ACCEPT], 0), ([], 0), (["--no-cache"], 0)):
        command = [sys.executable, "-m", "hoggin", "regress", str(tmp_path), *more]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        assert done.returncode == code, done.stdout + done.stderr
