"""The HTML report on screens of several widths, in a real browser."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.view.browser import Page, chromium, page

pytestmark = pytest.mark.slow

LEAST_PX = 6.0  # height of letters on a drawing; less can't be read (our own choice)
NARROW, LAPTOP, DESKTOP = (420, 800), (1100, 700), (1400, 900)
SMALLEST = """Math.min(...[...document.querySelectorAll("svg text")].map((text) => {
  const { a, b } = text.getScreenCTM();
  return parseFloat(getComputedStyle(text).fontSize) * Math.hypot(a, b);
}))"""


@pytest.fixture(scope="module")
def report(
    packages: dict[str, dict[str, bytes]], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Page]:
    """The example's report, as a file that is opened."""
    program = chromium()
    if program is None:
        pytest.skip("no Chromium on this machine")
    file: Path = tmp_path_factory.mktemp("report") / "report.html"
    file.write_bytes(packages["example"]["report.html"])
    with page(program, tmp_path_factory.mktemp("profile")) as opened:
        opened.open(file.as_uri())
        opened.until("document.readyState === 'complete' && document.title.includes('report')")
        yield opened
        assert opened.faults == []
        assert opened.requests == [file.as_uri()]


@pytest.mark.parametrize("size", [NARROW, LAPTOP, DESKTOP])
def test_drawings_can_be_read_and_the_page_scrolls_one_way_only(
    report: Page, size: tuple[int, int]
) -> None:
    """WCAG 2.2, 1.4.10 (from memory): only drawings and tables scroll sideways."""
    report.size(*size)
    assert report.value(SMALLEST) >= LEAST_PX
    assert report.value("document.documentElement.scrollWidth <= innerWidth")
