"""A bench on a folder of its own, and a page that shows it."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from hoggin.balancing import rated
from hoggin.bench.bench import Bench
from hoggin.bench.server import BenchServer
from hoggin.commands.viewing import read_plant
from tests.bench.probes import READY
from tests.view.browser import Page
from tests.view.conftest import END_SOON, EXAMPLES, chrome, web

__all__ = ["chrome", "web"]


@contextmanager
def serving(folder: Path) -> Iterator[BenchServer]:
    bench = Bench(folder, read_plant, rated)
    server = BenchServer(bench)
    thread = threading.Thread(target=server.serve_forever, args=[END_SOON])
    thread.start()
    try:
        yield server
    finally:
        bench.close()
        server.shutdown()
        server.server_close()
        thread.join(timeout=30)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A project with the example plant."""
    made = tmp_path / "project"
    made.mkdir()
    shutil.copy(EXAMPLES / "gravel.hog", made / "gravel.hog")
    return made


@pytest.fixture
def plant(folder: Path) -> Path:
    return folder / "gravel.hog"


@pytest.fixture
def served(folder: Path) -> Iterator[BenchServer]:
    with serving(folder) as server:
        yield server


def address(server: BenchServer, path: Path) -> str:
    return f"{server.url}{server.bench.folder.number(path)}/"


@pytest.fixture
def shown(web: Page, served: BenchServer, plant: Path) -> Iterator[Page]:
    """The page of the example plant, with the focus at the start of its text."""
    web.size(1400, 900)
    opens(web, address(served, plant))
    yield web
    web.open("about:blank")  # before its server ends
    web.until("location.href === 'about:blank'")
    web.asked.clear()


def opens(web: Page, url: str) -> None:
    web.open(url)
    web.until(READY)
    web.until("probes.words('.hog-keyword').length > 3")
    web.value("probes.editor('.cm-content').focus()")
