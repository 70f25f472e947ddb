"""The page on paper and in the colours of the reader's system, in a real browser."""

from __future__ import annotations

import io
import re
import unicodedata

import pytest
from pypdf import PdfReader

from hoggin.schema.results import Results
from hoggin.view.reading import Reading
from tests.view.browser import Page
from tests.view.conftest import serving, shows
from tests.view.contrast import TEXT, contrast, rgb
from tests.view.probes import OPEN, item

pytestmark = pytest.mark.slow

A3_LANDSCAPE_PT = (1190.55, 841.89)  # ISO 216: 420 mm by 297 mm


def test_every_row_of_every_table_is_on_the_paper(web: Page, quarry: Results) -> None:
    """On a screen the tables scroll; paper does not."""
    with serving(lambda: (Reading(quarry), {})) as server:
        shows(web, server)
        web.click(item("secondary"))
        web.until(OPEN)
        rows = web.value("[...document.querySelectorAll('main tr')].map((r) => r.innerText)")
        pages = PdfReader(io.BytesIO(web.printed())).pages
    text = squeezed("".join(page.extract_text() for page in pages))
    assert [row for row in rows if squeezed(row) not in text] == []
    assert len(rows) > 100
    assert "crushersecondary" in text and "Cautions" in text
    assert "Gotochoose" not in text and "Wholeplant" not in text  # what only a screen can use
    box = pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(A3_LANDSCAPE_PT, abs=1)


def test_every_sheet_is_on_the_paper(web: Page, large: Results) -> None:
    with serving(lambda: (Reading(large), {})) as server:
        shows(web, server)
        pages = PdfReader(io.BytesIO(web.printed())).pages
    text = squeezed("".join(page.extract_text() for page in pages))
    for number in range(3, 9):  # each line of the plant has a sheet, and a connector to the second
        assert squeezed(f"to sheet {number}") in text
    assert text.count(squeezed("from sheet 2")) == 6


def squeezed(text: str) -> str:
    """Without spaces, and with the letters of ligatures apart, as some fonts print `fi`."""
    return re.sub(r"\s", "", unicodedata.normalize("NFKC", text))


def test_paper_is_light_in_the_dark_as_well(web: Page, quarry: Results) -> None:
    with serving(lambda: (Reading(quarry), {})) as server:
        web.dark(True)
        shows(web, server)
        web.paper(True)
        try:
            pairs = web.value("probes.colours()")
        finally:
            web.paper(False)
    white = (255.0, 255.0, 255.0)
    assert len(pairs) >= 3
    for text, behind in pairs:
        assert contrast(rgb(text), white) >= TEXT, (text, behind)


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_the_systems_own_colours_are_used_where_it_forces_them(
    web: Page, quarry: Results, dark: bool
) -> None:
    """CSS Color Adjustment 1, forced colours (from memory): drawings keep theirs unless told."""
    web.dark(dark, forced_colors="active")
    with serving(lambda: (Reading(quarry), {})) as server:
        shows(web, server)
        text, ground = web.value(
            "[getComputedStyle(document.querySelector('#drawing .item text')).fill,"
            " getComputedStyle(document.body).backgroundColor]"
        )
        plain, loud = web.value(
            "['body', '.over'].map((one) => getComputedStyle(document.querySelector(one)).color)"
        )
    assert rgb(text) == rgb(plain) == rgb(loud)  # the browser lays the system's ground under text
    assert contrast(rgb(text), rgb(ground)) >= TEXT
