"""The HTML report, read with the parser of the standard library."""

from __future__ import annotations

import re
from collections import Counter
from html.parser import HTMLParser
from itertools import pairwise

import pytest

from hoggin.report import equipment, mass_balance
from hoggin.report.package import lists
from hoggin.report.wording import clean
from hoggin.schema.results import Results

from .conftest import SAMPLES

pytestmark = pytest.mark.slow

# Elements without an end tag: HTML Living Standard, 13.1.2, "void elements" (from memory).
VOID = {"meta", "link", "br", "img", "input", "hr"}
LOADS = {"src", "srcset", "action", "data", "poster", "background", "xlink:href"}


class Page(HTMLParser):
    """Elements with their attributes, the text of each table cell, and faults of nesting."""

    def __init__(self, content: bytes) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.cells: list[str] = []
        self.texts: list[str] = []
        self.faults: list[str] = []
        self._open: list[str] = []
        self.feed(content.decode("utf-8"))
        self.close()
        self.faults += [f"<{tag}> left open" for tag in self._open]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {name: value or "" for name, value in attrs}))
        if tag not in VOID:
            self._open.append(tag)
        if tag in ("td", "th"):
            self.cells.append("")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        if not self._open or self._open.pop() != tag:
            self.faults.append(f"</{tag}> closes another")

    def handle_data(self, data: str) -> None:
        self.texts.append(data)
        if any(tag in ("td", "th") for tag in self._open):
            self.cells[-1] += data


@pytest.fixture(scope="session")
def pages(packages: dict[str, dict[str, bytes]]) -> dict[str, Page]:
    return {name: Page(made["report.html"]) for name, made in packages.items()}


@pytest.mark.parametrize("sample", SAMPLES)
def test_every_element_is_closed_in_its_turn(pages: dict[str, Page], sample: str) -> None:
    assert pages[sample].faults == []


@pytest.mark.parametrize("sample", SAMPLES)
def test_the_file_asks_for_nothing_else(
    packages: dict[str, dict[str, bytes]], pages: dict[str, Page], sample: str
) -> None:
    for tag, attributes in pages[sample].elements:
        assert tag not in ("script", "link", "iframe", "img", "object", "embed", "base")
        assert not LOADS & attributes.keys(), (tag, attributes)
        assert not any(name.startswith("on") for name in attributes)
        if "href" in attributes:
            assert attributes["href"].startswith("#")
        for value in attributes.values():
            assert all(url.startswith("#") for url in re.findall(r"url\(([^)]*)\)", value))
    style = re.search(r"<style>(.*?)</style>", packages[sample]["report.html"].decode(), re.DOTALL)
    assert style is not None
    assert "url(" not in style[1]
    assert "@import" not in style[1]


@pytest.mark.parametrize("sample", SAMPLES)
def test_names_are_unique_and_what_is_named_is_there(pages: dict[str, Page], sample: str) -> None:
    elements = pages[sample].elements
    ids = Counter(attributes["id"] for _, attributes in elements if "id" in attributes)
    assert [name for name, count in ids.items() if count > 1] == []
    for _, attributes in elements:
        wanted = attributes.get("aria-labelledby", "").split()
        wanted += [attributes["href"][1:]] if "href" in attributes else []
        wanted += [
            name for value in attributes.values() for name in re.findall(r"url\(#([^)]*)\)", value)
        ]
        assert set(wanted) <= ids.keys()


@pytest.mark.parametrize("sample", SAMPLES)
def test_tables_and_drawings_are_told_to_those_who_hear_the_page(
    pages: dict[str, Page], sample: str
) -> None:
    """WCAG 2.2, success criteria 1.1.1, 1.3.1 and 3.1.1 (from memory)."""
    elements = pages[sample].elements
    assert next(a for tag, a in elements if tag == "html")["lang"] == "en-GB"
    drawings = [attributes for tag, attributes in elements if tag == "svg"]
    assert len(drawings) >= 3
    assert all(a["role"] == "img" and len(a["aria-label"]) > 20 for a in drawings)
    headers = [attributes for tag, attributes in elements if tag == "th"]
    assert {a["scope"] for a in headers} == {"row", "col"}
    tables = sum(tag == "table" for tag, _ in elements)
    assert tables == sum(tag == "caption" for tag, _ in elements)
    levels = [int(tag[1]) for tag, _ in elements if re.fullmatch(r"h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(b <= a + 1 for a, b in pairwise(levels))


@pytest.mark.parametrize("sample", SAMPLES)
def test_every_figure_of_the_balance_and_the_lists_stands_in_a_cell(
    results: dict[str, Results], pages: dict[str, Page], sample: str
) -> None:
    shown = Counter(cell.strip() for cell in pages[sample].cells)
    wanted: Counter[str] = Counter()
    balance = mass_balance.document(results[sample], brief=True)
    for table in (
        *(one.table for one in balance.sections if one.table and "gradings" in one.heading),
        mass_balance.streams(results[sample]),
        mass_balance.loops(results[sample]),
        mass_balance.specification_points(results[sample]),
        equipment.machines(results[sample]),
        equipment.decks(results[sample]),
        equipment.limits(results[sample], only_attention=False),
        *lists.tables(results[sample]),
    ):
        shown_table = table.filled()
        for place, _ in enumerate(shown_table.columns):
            wanted.update(text.strip() for text in shown_table.texts(place))
    assert wanted - shown == Counter()
    assert len(wanted) > 100


def test_the_title_block_says_where_the_report_comes_from(
    example: Results, pages: dict[str, Page]
) -> None:
    said = " ".join(pages["example"].texts)
    assert example.provenance is not None
    assert example.plant is not None
    for word in ("2026-11-02", "Skarrow Hill Quarry (invented)", "A. B.", "examples/quarry.hog"):
        assert word in said
    assert example.provenance.content_sha256 in said  # whole, in the appendix
    assert f" {example.provenance.content_sha256[:12]} " in f" {said} "
    assert example.provenance.library_version in said
    for revision in example.plant.revisions:
        assert revision.text in said


@pytest.mark.parametrize("sample", SAMPLES)
def test_cautions_and_assumptions_are_all_there(
    results: dict[str, Results], pages: dict[str, Page], sample: str
) -> None:
    said = [text.strip() for text in pages[sample].texts]
    for caution in equipment.safety(results[sample]):
        once = said.count(clean(caution)) == 1
        assert once or sample == "hostile"  # whose other texts are the same
    assert {clean(text) for text in results[sample].assumptions} <= set(said)


def test_what_is_over_a_limit_is_told_by_words_and_weight(pages: dict[str, Page]) -> None:
    loud = [a["class"] for tag, a in pages["large"].elements if tag == "strong" and "class" in a]
    assert loud.count("over") > 10
    assert "OVER LIMIT" in pages["large"].cells


def test_hostile_words_are_shown_and_never_obeyed(
    results: dict[str, Results], pages: dict[str, Page]
) -> None:
    page = pages["hostile"]
    tags = {tag for tag, _ in page.elements}
    assert not tags & {"b", "script", "text&gt;"}
    assert clean(results["hostile"].title) in " ".join(page.texts)
    assert '=HYPERLINK("http://x") <b>&amp; "quoted" \\N \\' in page.cells


def test_the_page_prints_on_a3_and_follows_the_readers_light(
    packages: dict[str, dict[str, bytes]],
) -> None:
    text = packages["example"]["report.html"].decode()
    assert "size: A3 landscape" in text
    assert "prefers-color-scheme: dark" in text
    assert "display: table-header-group" in text
