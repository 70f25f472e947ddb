"""Files that are written: no link is followed, two commands take turns, and one that was killed
leaves a whole set to the next. Processes and signals are real."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from hoggin.errors import HogginError
from hoggin.writing import DRAFT, replace, write

NAMES = [f"file{number}" for number in range(40)] + ["below/file"]
# Writes a set again and again; all of its files have the same content.
WRITER = """
import sys
from pathlib import Path
from hoggin.writing import write
names, content = sys.argv[2].split(","), sys.argv[3].encode()
print("ready", flush=True)
while True:
    write(dict.fromkeys(names, content), Path(sys.argv[1]))
"""
# Writes a set and is killed before a rename.
KILLED = """
import os, signal, sys
from pathlib import Path
from hoggin.writing import write
genuine, left = os.replace, int(sys.argv[3])
def replace(*places, **options):
    global left
    left -= 1
    if left < 0:
        os.kill(os.getpid(), signal.SIGKILL)
    genuine(*places, **options)
os.replace = replace
Path.replace = lambda self, target: replace(self, target)
write(dict.fromkeys(sys.argv[2].split(","), b"new"), Path(sys.argv[1]))
"""


def contents(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def writer(folder: Path, content: str) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-c", WRITER, str(folder), ",".join(NAMES), content]
    started = subprocess.Popen(command, stdout=subprocess.PIPE)
    assert started.stdout is not None
    assert started.stdout.readline() == b"ready\n"
    return started


@pytest.mark.slow
def test_two_commands_take_turns_and_leave_one_whole_set(tmp_path: Path) -> None:
    both = [writer(tmp_path, "one"), writer(tmp_path, "two")]
    try:
        time.sleep(2)
        assert [one.poll() for one in both] == [None, None]  # none found the other's files
    finally:
        for one in both:
            one.kill()
            one.wait()
    write({"after": b""}, tmp_path)  # puts back what was broken off
    found = contents(tmp_path)
    assert sorted(found) == sorted([*NAMES, "after"])
    assert len({found[name] for name in NAMES}) == 1


@pytest.mark.parametrize("renamed", [0, 1, 2])
def test_the_next_command_puts_back_what_a_killed_one_exchanged(
    tmp_path: Path, renamed: int
) -> None:
    (tmp_path / "a").write_bytes(b"old")
    (tmp_path / "c").write_bytes(b"old")
    command = [sys.executable, "-c", KILLED, str(tmp_path), "a,b,c", str(renamed)]
    assert subprocess.run(command, check=False).returncode == -signal.SIGKILL
    assert list(tmp_path.glob(f"{DRAFT}*"))
    write({"d": b"next"}, tmp_path)
    assert contents(tmp_path) == {"a": b"old", "c": b"old", "d": b"next"}


def test_a_journal_that_was_tampered_with_reaches_no_file_outside(tmp_path: Path) -> None:
    outside, folder = tmp_path / "outside", tmp_path / "out"
    outside.write_bytes(b"mine")
    workshop = folder / f"{DRAFT}x"
    workshop.mkdir(parents=True)
    (workshop / "begun").write_text(json.dumps({"../outside": False}))
    write({"d": b"next"}, folder)
    assert outside.read_bytes() == b"mine"
    assert contents(folder) == {"d": b"next"} and not workshop.exists()


def test_a_folder_of_the_user_with_such_a_name_is_left(tmp_path: Path) -> None:
    mine = tmp_path / f"{DRAFT}notes" / "begun.txt"
    mine.parent.mkdir()
    mine.write_bytes(b"mine")
    write({"d": b"next"}, tmp_path)
    assert mine.read_bytes() == b"mine"


def test_no_link_in_the_place_of_a_file_or_folder_is_followed(tmp_path: Path) -> None:
    mine, folder = tmp_path / "mine", tmp_path / "out"
    folder.mkdir()
    mine.write_bytes(b"mine")
    (folder / "a").symlink_to(mine)
    write({"a": b"new"}, folder)
    assert mine.read_bytes() == b"mine" and not (folder / "a").is_symlink()
    (folder / "below").symlink_to(tmp_path)
    with pytest.raises(HogginError, match="is a link"):
        write({"below/mine": b"new"}, folder)
    assert mine.read_bytes() == b"mine"


def test_a_command_that_was_stopped_does_not_hang_the_next(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fcntl = pytest.importorskip("fcntl")
    monkeypatch.setattr("hoggin.writing._PATIENCE", 0.1)
    handle = os.open(tmp_path, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        with pytest.raises(HogginError, match="another command is writing"):
            write({"a": b"new"}, tmp_path)
    finally:
        os.close(handle)
    write({"a": b"new"}, tmp_path)
    assert contents(tmp_path) == {"a": b"new"}


def test_a_file_is_on_the_disk_before_it_takes_its_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    called: list[str] = []

    def noted(name: str, genuine: Callable[..., None]) -> Callable[..., None]:
        def call(*arguments: Any) -> None:
            called.append(name)
            genuine(*arguments)

        return call

    for name in ("fsync", "replace", "rename"):
        monkeypatch.setattr(os, name, noted(name, getattr(os, name)))
    replace(tmp_path / "a", b"text")
    assert called == ["fsync", "replace"]
    assert contents(tmp_path) == {"a": b"text"}
