"""Nothing leaves the machine: no command that is not asked to connects or looks a name up.

CPython's audit events (PEP 578) see every attempt, in forked workers too.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

EXAMPLES = Path(__file__).parents[2] / "examples"

WATCHED = """
import os, sys
def watch(event, arguments):
    if event in ("socket.connect", "socket.getaddrinfo", "socket.sendto", "socket.bind"):
        os.write(2, f"ATTEMPT {event} {arguments[1:]}\\n".encode())
sys.addaudithook(watch)
from hoggin.__main__ import main
code = main()
os.write(2, b"ENDED\\n")
sys.exit(code)
"""


def run(arguments: list[str], folder: Path, script: str = WATCHED) -> str:
    done = subprocess.run(
        [sys.executable, "-c", script, *arguments],
        cwd=folder,
        env={**os.environ, "XDG_CACHE_HOME": str(folder / "cache")},
        capture_output=True,
        text=True,
        check=False,
    )
    return done.stderr


@pytest.mark.slow
@pytest.mark.parametrize(
    "command",
    [
        "check quarry.hog",
        "issue sand.hog --into {out}",
        "report tabulated.hog --into {out}",
        "simulate seasons.hog --runs 4",
    ],
)
def test_a_command_makes_no_connection(command: str, tmp_path: Path) -> None:
    name, file, *rest = command.format(out=tmp_path / "out").split()
    said = run([name, str(EXAMPLES / file), *rest], tmp_path)
    assert "ENDED" in said
    assert "ATTEMPT" not in said


def test_an_attempt_would_be_seen(tmp_path: Path) -> None:
    trying = "import socket; socket.socket().connect_ex(('127.0.0.1', 9)); import hoggin\n"
    said = run(["--help"], tmp_path, WATCHED.replace("from hoggin", trying + "from hoggin", 1))
    assert "ATTEMPT socket.connect" in said
