"""Sample results, and servers for them."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

import pytest

from hoggin.commands.viewing import read_plant
from hoggin.schema.results import Results
from hoggin.view.live import Live, Read
from hoggin.view.reading import Reading
from hoggin.view.server import ViewServer
from tests.report.sample_fixtures import hostile, large, quarry, small
from tests.view.browser import Page, chromium, page
from tests.view.probes import READY

__all__ = ["hostile", "large", "quarry", "small"]

END_SOON = 0.02  # seconds between two looks of a server whether it is to end
EXAMPLES = Path(__file__).parents[2] / "examples"


@contextmanager
def serving(read: Read) -> Iterator[ViewServer]:
    """A server in threads of its own, following the files that `read` asks for."""
    live = Live(read)
    server = ViewServer(live)
    serve = partial(server.serve_forever, END_SOON)
    threads = [threading.Thread(target=work) for work in (serve, live.follow)]
    for thread in threads:
        thread.start()
    try:
        yield server
    finally:
        live.stop()
        server.shutdown()
        server.server_close()
        for thread in threads:
            thread.join(timeout=30)


@pytest.fixture(scope="session")
def server(small: Results) -> Iterator[ViewServer]:
    with serving(lambda: (Reading(small), {})) as served:
        yield served


@pytest.fixture
def plant(tmp_path: Path) -> Path:
    """The example plant in a project of its own."""
    (tmp_path / ".git").mkdir()
    file = tmp_path / "quarry.hog"
    file.write_text((EXAMPLES / "quarry.hog").read_text())
    return file


@contextmanager
def serving_file(file: Path) -> Iterator[ViewServer]:
    with serving(lambda: read_plant(file)) as served:
        yield served


@pytest.fixture(scope="module")
def chrome(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    program = chromium()
    if program is None:
        pytest.skip("no Chromium on this machine")
    with page(program, tmp_path_factory.mktemp("profile")) as opened:
        yield opened


@pytest.fixture
def web(chrome: Page) -> Iterator[Page]:
    """A page that must not have complained, nor asked for anything from elsewhere, at the end."""
    chrome.size(1280, 900)
    chrome.dark(False)
    yield chrome
    chrome.open("about:blank")
    chrome.until("location.href === 'about:blank'")
    faults, asked = list(chrome.faults), list(chrome.requests)
    chrome.faults.clear()
    chrome.requests.clear()
    assert faults == []
    assert all(url.startswith(("http://127.0.0.1:", "about:")) for url in asked), asked


@pytest.fixture
def shown(web: Page, plant: Path) -> Iterator[Page]:
    """The example plant, saved in a file that a test may change."""
    with serving_file(plant) as server:
        shows(web, server)
        yield web


def shows(web: Page, server: ViewServer) -> None:
    web.open(server.url)
    web.until(READY)
