"""`hoggin view` from the command line, as a process of its own."""

from __future__ import annotations

import os
import re
import signal
import socket
import stat
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from hoggin.commands.main import main
from hoggin.commands.viewing import read_plant
from hoggin.errors import Exit
from tests.commands.test_main import STUCK

pytestmark = pytest.mark.slow

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_it_prints_its_address_serves_and_ends_when_interrupted() -> None:
    command = [sys.executable, "-m", "hoggin", "view", str(EXAMPLES / "gravel.hog"), "--no-browser"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    try:
        assert process.stdout is not None
        url = process.stdout.readline().strip()
        assert re.fullmatch(r"http://127\.0\.0\.1:\d+/[\w-]{43}/", url)
        with urllib.request.urlopen(url + "state.json", timeout=20) as answer:
            assert b'"fault": false' in answer.read()
        process.send_signal(signal.SIGINT)
        said, complained = process.communicate(timeout=20)
        assert process.returncode == 0
        assert said.endswith("ended\n") and complained == ""
    finally:
        process.kill()
        process.communicate()


def test_a_file_that_is_not_there_is_a_plain_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["view", str(tmp_path / "none.hog"), "--no-browser"]) == Exit.USE
    assert "there is no such file" in capsys.readouterr().err


def test_a_port_that_is_taken_is_a_plain_sentence(capsys: pytest.CaptureFixture[str]) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        file = str(EXAMPLES / "gravel.hog")
        assert main(["view", file, "--no-browser", "--port", str(port)]) == Exit.USE
    assert f"port {port} is not available" in capsys.readouterr().err


@pytest.mark.parametrize("port", ["65536", "-1", "http", "1.5"])
def test_what_is_no_port_is_wrong_use(port: str) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["view", "x.hog", f"--port={port}"])
    assert ended.value.code == Exit.USE


def test_every_feed_machine_product_and_stream_knows_its_line() -> None:
    file = EXAMPLES / "quarry.hog"
    reading, _ = read_plant(file)
    assert reading.results is not None
    plant = reading.results
    tags = [feed.tag for feed in plant.feeds]
    tags += [machine.tag for machine in plant.machines]
    tags += [product.tag for product in plant.products]
    lines = file.read_text().splitlines()
    for tag in tags:
        (place,) = reading.places[tag]
        assert place.text == lines[place.line - 1].strip()
        assert tag in place.text
    for stream in plant.streams:
        (place,) = reading.places[stream.name]
        assert stream.source in place.text and stream.target in place.text


@pytest.mark.parametrize(
    ("text", "said", "fault"),
    [
        (b"", "is a library", "The file has no plant"),
        (b"let a = 1 mm\n", "is a library", "The file has no plant"),
        (b"\xff\xfe", "is not UTF-8", "The file can't be read: byte 0 is not UTF-8 text"),
        (b"plant {", "error E", "error in the text"),
        (b"plant a\nplant b\n", "error E", "errors in the text"),
    ],
)
def test_what_is_no_plant_is_told_in_the_place_of_verdicts(
    tmp_path: Path, text: bytes, said: str, fault: str
) -> None:
    file = tmp_path / "a.hog"
    file.write_bytes(text)
    reading, asked = read_plant(file)
    assert reading.results is None and said in reading.said
    assert fault in reading.fault
    assert file in asked


def test_a_circuit_that_cant_settle_is_told(tmp_path: Path) -> None:
    """At 45 mm the crusher lets 10 mm to about 29 mm through whole, and the deck returns them."""
    file = tmp_path / "stuck.hog"
    file.write_text(STUCK)
    reading, _ = read_plant(file)
    assert reading.results is None and "error E0801" in reading.said
    assert reading.fault == "The plant can't be balanced"


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[tuple[str, str]]:
    """The address that is printed, and what the browser is given, while the command runs. `BROWSER`
    names a program to open addresses with (Python's webbrowser module)."""
    told = tmp_path / "told"
    browser = tmp_path / "browser"
    browser.write_text(
        f'#!/bin/sh\nprintf %s "$1" > {told}.new && mv {told}.new {told}\nsleep 60\n'
    )
    browser.chmod(0o755)
    command = [sys.executable, "-m", "hoggin", "view", str(EXAMPLES / "gravel.hog")]
    environment = {**os.environ, "BROWSER": f"{browser} %s", "TMPDIR": str(tmp_path)}
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, text=True, env=environment, start_new_session=True
    ) as process:
        try:
            assert process.stdout is not None
            url = process.stdout.readline().strip()
            while not told.exists():
                assert process.poll() is None
                time.sleep(0.05)
            yield url, told.read_text()
            process.send_signal(signal.SIGTERM)
            assert process.wait(timeout=60) == 0
        finally:
            os.killpg(process.pid, signal.SIGKILL)
    assert not list(tmp_path.glob("hoggin-view-*"))


def test_the_browser_is_given_a_private_file_that_leads_to_the_address(
    opened: tuple[str, str],
) -> None:
    url, given = opened
    page = Path(urllib.request.url2pathname(given.removeprefix("file://")))
    assert f'content="0; url={url}"' in page.read_text()
    assert stat.S_IMODE(page.parent.stat().st_mode) == stat.S_IRWXU  # no other user can enter


@pytest.mark.skipif(not Path("/proc/self/cmdline").exists(), reason="lists processes by /proc")
def test_no_process_has_the_token_on_its_command_line(opened: tuple[str, str]) -> None:
    url, given = opened
    lines = b""
    for line in Path("/proc").glob("[0-9]*/cmdline"):
        with suppress(OSError):  # it has just ended
            lines += line.read_bytes()
    assert given.encode() in lines, "the browser is still running"
    assert url.rsplit("/", 2)[1].encode() not in lines


def test_a_fault_of_the_compiler_is_told_and_the_next_save_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "gravel.hog"
    file.write_text((EXAMPLES / "gravel.hog").read_text())
    with monkeypatch.context() as broken:
        broken.setattr("hoggin.balancing.rated_in_all", lambda _: 1 / 0)
        reading, asked = read_plant(file)
    assert reading.results is None and "fault of the compiler" in reading.said
    assert "ZeroDivisionError" in capsys.readouterr().err
    assert file in asked
    assert read_plant(file)[0].results is not None
