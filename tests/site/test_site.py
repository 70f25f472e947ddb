"""The documentation site: what its checks find, and, with `-m site`, the site itself."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.site.building import build, contents
from tests.site.checks import faults
from tests.site.staging import ROOT

_LINK = b'<h2 id="here"></h2><a href="#here"></a><a href="other.html#there"></a>'


@pytest.mark.parametrize(
    ("page", "fault"),
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
def test_a_fault_of_a_page_is_found(page: bytes, fault: str) -> None:
    other = {"other.html": b'<h2 id="there"></h2>'}
    assert faults({"page.html": _LINK, **other}) == []
    (found,) = faults({"page.html": _LINK + page, **other})
    assert fault in found


def test_the_site_has_every_process_model() -> None:
    page = (Path(__file__).parent / "api" / "models.rst").read_text(encoding="utf-8")
    declares = {"__init__", "arrays", "catalog", "entries", "model"}  # what computes nothing
    modules = {path.stem for path in (ROOT / "compiler/hoggin/models").glob("*.py")} - declares
    assert {name for name in modules if f"hoggin.models.{name}\n" not in page} == set()


@pytest.mark.site
def test_two_builds_of_the_site_have_the_same_bytes(tmp_path: Path) -> None:
    pytest.importorskip("sphinx")
    first, second = tmp_path / "first", tmp_path / "elsewhere" / "second"
    build(first)
    build(second)
    assert contents(first) == contents(second)
    assert {"index.html", "search.html", "searchindex.js", "api/plants.html"} <= set(
        contents(first)
    )
