"""Exit codes and documents do not depend on who reads what a command prints."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from hoggin.errors import Exit
from tests.commands.test_main import PLANT

pytestmark = pytest.mark.slow

COMMANDS = {
    "issue small.hog --into out": Exit.UNMET,
    "report small.hog --into out": Exit.UNMET,
    "balance small.hog": Exit.UNMET,
    "regress small.hog --summary out/summary.md": Exit.UNMET,
    "format --check small.hog": Exit.DIFFERENT,
    "compare small.hog other.hog --expect-same": Exit.DIFFERENT,
    "simulate small.hog --runs 2 --into out": Exit.DONE,
    "check small.hog": Exit.DONE,
    "format -": Exit.DONE,
    "--help": Exit.DONE,
    "--version": Exit.DONE,
    "no-such-command": Exit.USE,
}
"""Each command line with its verdict on the files of `folder`."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "small.hog").write_text(PLANT.replace("%LEAST%", "31"), encoding="utf-8")
    (tmp_path / "other.hog").write_text(PLANT.replace("%LEAST%", "20"), encoding="utf-8")
    return tmp_path


@pytest.fixture
def unread() -> Iterator[int]:
    """A pipe whose reader has gone before anything is printed, as that of `| true`."""
    reading, writing = os.pipe()
    os.close(reading)
    yield writing
    os.close(writing)


def _run(command: str, folder: Path, out: int, unbuffered: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "hoggin", *command.split()],
        cwd=folder,
        input=PLANT.replace("%LEAST%", "20"),
        stdout=out,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": unbuffered},
        check=False,
        timeout=120,
    )


def _files(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


@pytest.mark.parametrize("unbuffered", ["", "1"], ids=["buffered", "unbuffered"])
@pytest.mark.parametrize("command", COMMANDS)
def test_a_reader_that_has_gone_changes_neither_code_nor_documents(
    command: str, unbuffered: str, folder: Path, unread: int
) -> None:
    done = _run(command, folder, unread, unbuffered)
    assert done.returncode == COMMANDS[command]
    for word in ("Traceback", "Exception ignored", "roken pipe"):
        assert word not in done.stderr
    found = _files(folder)
    assert _run(command, folder, subprocess.DEVNULL, unbuffered).returncode == COMMANDS[command]
    assert _files(folder) == found


@pytest.mark.parametrize("unbuffered", ["", "1"], ids=["buffered", "unbuffered"])
def test_a_reader_that_goes_after_one_line_gets_the_documents(
    unbuffered: str, folder: Path
) -> None:
    command = [sys.executable, "-m", "hoggin", "issue", "small.hog", "--into", "out"]
    environment = {**os.environ, "PYTHONUNBUFFERED": unbuffered}
    with subprocess.Popen(
        command, cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=environment
    ) as process:
        assert process.stdout is not None and process.stderr is not None
        assert process.stdout.readline().startswith(b"small: 100.0 t/h in")
        process.stdout.close()
        assert process.stderr.read() == b""
    assert process.returncode == Exit.UNMET
    assert {"out/results.json", "out/flowsheet.svg"} <= _files(folder)


@pytest.mark.parametrize("unbuffered", ["", "1"], ids=["buffered", "unbuffered"])
def test_errors_whose_reader_has_gone_keep_their_code(
    unbuffered: str, folder: Path, unread: int
) -> None:
    (folder / "small.hog").write_text("plant {", encoding="utf-8")
    command = [sys.executable, "-m", "hoggin", "check", "small.hog"]
    environment = {**os.environ, "PYTHONUNBUFFERED": unbuffered}
    done = subprocess.run(command, cwd=folder, stderr=unread, env=environment, check=False)
    assert done.returncode == Exit.SOURCE


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device of Linux")
@pytest.mark.parametrize("unbuffered", ["", "1"], ids=["buffered", "unbuffered"])
@pytest.mark.parametrize("command", ["issue small.hog --into out", "check small.hog", "--version"])
def test_a_full_disk_under_the_output_is_reported_after_the_documents(
    command: str, unbuffered: str, folder: Path
) -> None:
    with Path("/dev/full").open("w") as full:
        done = _run(command, folder, full.fileno(), unbuffered)
    assert done.returncode == Exit.USE
    assert done.stderr == "hoggin: standard output: the system reports: no space left on device\n"
    assert ("out/results.json" in _files(folder)) is command.startswith("issue")
