"""`hoggin bench` from the command line, as a process of its own."""

from __future__ import annotations

import json
import re
import shutil
import signal
import socket
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest

from hoggin.commands.main import main
from hoggin.errors import Exit

EXAMPLES = Path(__file__).parents[2] / "examples"


def posted(url: str, content: object) -> int:
    origin = "/".join(url.split("/")[:3])
    fields = {"Content-Type": "application/json", "Origin": origin}
    asked = urllib.request.Request(url, json.dumps(content).encode(), fields)
    with urllib.request.urlopen(asked, timeout=20) as answer:
        return int(answer.status)


@pytest.mark.slow
def test_it_opens_the_page_of_a_file_and_keeps_unsaved_text_when_it_is_ended(
    tmp_path: Path,
) -> None:
    plant = Path(shutil.copy(EXAMPLES / "gravel.hog", tmp_path))
    before = plant.read_text()
    command = [sys.executable, "-m", "hoggin", "bench", str(plant), "--no-browser"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    try:
        assert process.stdout is not None
        url = process.stdout.readline().strip()
        assert re.fullmatch(r"http://127\.0\.0\.1:\d+/[\w-]{43}/1/", url)
        assert posted(url + "text", {"page": "", "number": 1, "text": "# mine\n"}) == 200
        process.send_signal(signal.SIGINT)
        said, complained = process.communicate(timeout=30)
    finally:
        process.kill()
        process.communicate()
    assert process.returncode == 0
    assert complained == ""
    kept = tmp_path / "unsaved.hog"
    assert said.endswith(f"ended\nthe unsaved text of gravel.hog is in {kept}\n")
    assert kept.read_text() == "# mine\n"
    assert plant.read_text() == before


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "said"), [("none.hog", "there is no such file"), ("a.txt", "ends in `.hog`")]
)
def test_what_is_no_plant_is_a_plain_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str, said: str
) -> None:
    (tmp_path / "a.txt").write_text("text")
    assert main(["bench", str(tmp_path / name), "--no-browser"]) == Exit.USE
    assert said in capsys.readouterr().err


def test_a_port_that_is_taken_is_a_plain_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        assert main(["bench", str(tmp_path), "--no-browser", "--port", str(port)]) == Exit.USE
    assert f"port {port} is not available" in capsys.readouterr().err
