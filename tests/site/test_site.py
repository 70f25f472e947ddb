"""The documentation site: what its checks find, and, with `-m site`, the site itself."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.site.building import build, contents
from tests.site.checks import faults
from tests.site.staging import ROOT
from tests.view.browser import chromium, page

_LINK = b'<h2 id="here"></h2><a href="#here"></a><a href="other.html#there"></a>'


@pytest.mark.parametrize(
    ("faulty", "fault"),
    [
        (b'<a href="gone.html"></a>', "a link to a file that is not there: gone.html"),
        (b'<a href="#gone"></a>', "a link to an anchor that is not there: #gone"),
        (b'<a href="other.html#gone"></a>', "to an anchor that is not there: other.html#gone"),
        (b'<img src="picture.svg">', "a link to a file that is not there: picture.svg"),
        (b'<script src="https://a.example/x.js"></script>', "asks the network: https://a.example"),
        (b'<link rel="icon" href="//a.example/x.png">', "asks the network: //a.example/x.png"),
        (b"<style>a { src: url(https://a.example/f) }</style>", "asks the network: url(https://a"),
        (b"<p>see /home/someone/plant.hog</p>", "a path of a machine: /home/someone/plant.hog"),
    ],
)
def test_a_fault_of_a_page_is_found(faulty: bytes, fault: str) -> None:
    other = {"other.html": b'<h2 id="there"></h2>'}
    assert faults({"page.html": _LINK, **other}) == []
    (found,) = faults({"page.html": _LINK + faulty, **other})
    assert fault in found


def test_the_site_has_every_process_model() -> None:
    page = (Path(__file__).parent / "api" / "models.rst").read_text(encoding="utf-8")
    declares = {"__init__", "arrays", "catalog", "entries", "model"}  # what computes nothing
    modules = {path.stem for path in (ROOT / "compiler/hoggin/models").glob("*.py")} - declares
    assert {name for name in modules if f"hoggin.models.{name}\n" not in page} == set()


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    pytest.importorskip("sphinx")
    folder = tmp_path_factory.mktemp("built") / "site"
    build(folder)
    return folder


@pytest.mark.site
def test_two_builds_of_the_site_have_the_same_bytes(site: Path, tmp_path: Path) -> None:
    second = tmp_path / "elsewhere" / "second"
    build(second)
    assert contents(site) == contents(second)


@pytest.mark.site
def test_the_site_is_searched_from_files_without_a_network(site: Path, tmp_path: Path) -> None:
    program = chromium()
    if program is None:
        pytest.skip("no Chromium on this machine")
    with page(program, tmp_path / "profile") as web:
        web.open(f"{(site / 'search.html').as_uri()}?q=choke")
        web.until("[...document.querySelectorAll('.search li a')].some(a => a.text == 'Methods')")
        assert web.faults == []
        assert all(url.startswith(("file:", "data:")) for url in web.requests)


@pytest.mark.site
def test_a_block_of_the_language_has_its_colours_and_a_docstring_its_parts(site: Path) -> None:
    block = (site / "tutorial.html").read_text(encoding="utf-8")
    assert '<span class="k">material</span> limestone {' in block.replace(
        '<span class="w"> </span>', " "
    )
    models = (site / "api" / "models.html").read_text(encoding="utf-8")
    part = models[models.index('id="hoggin.models.capacity.jaw_capacity"') :]
    part = part[: part.index("</dl>\n</dd></dl>")]
    for words in ("Parameters", "<strong>gape</strong>", "Returns", "Raises", "Source", "(1967)"):
        assert words in part
