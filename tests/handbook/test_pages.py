"""The pages of the documentation: that they are listed, lead to one another, and open offline."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from hoggin.balancing import balanced
from hoggin.check.checker import check_file
from hoggin.commands.main import main
from hoggin.handbook.contents import Handbook, handbook
from hoggin.handbook.rendering import anchor, rendered
from hoggin.report.documents import documents
from tests.site.checks import faults

ROOT = Path(__file__).parents[2]
BOOK = handbook()


def test_every_page_is_listed_once() -> None:
    listed = [page.file for section in BOOK.sections for page in section.pages]
    there = {path.name for path in BOOK.folder.glob("*.md")} - {"index.md"}
    assert sorted(file for file in listed if "/" not in file) == sorted(there)


@pytest.mark.parametrize("name", BOOK.pages)
def test_a_page_is_listed_by_its_own_title(name: str) -> None:
    page = BOOK.pages[name]
    if name != "index":
        first = re.search(r"^# (.+)$", BOOK.text(page.file), re.MULTILINE)
        assert first is not None
        assert first[1] == page.title


@pytest.mark.slow
def test_the_pages_keep_to_what_the_site_must_keep_to() -> None:
    assert faults(rendered(BOOK)) == []


@pytest.mark.slow
def test_the_same_pages_have_the_same_bytes() -> None:
    assert rendered(handbook()) == rendered(handbook())


def test_a_page_is_shown_with_its_tables_blocks_and_colours(tmp_path: Path) -> None:
    (tmp_path / "index.md").write_text("# Plants\n\n## Here\n\n- [One](one.md): a page\n")
    text = "# One\n\n## Sieves & decks\n\n| a | b |\n|---|---|\n| 1 | <2> |\n\n"
    text += "```hog\nrate 450 t/h  # dry\n```\n\n```sh\nls\n```\n"
    (tmp_path / "one.md").write_text(text)
    page = rendered(Handbook(tmp_path))["one.html"].decode()
    assert '<h2 id="sieves--decks">Sieves &amp; decks</h2>' in page
    assert "<td>&lt;2&gt;</td>" in page
    assert (
        '<span class="fact">rate</span> <span class="number">450 t/h</span>  '
        '<span class="comment"># dry</span>' in page
    )
    assert '<a href="one.html" aria-current="page">One</a>' in page


def test_a_link_to_what_is_not_installed_is_text(tmp_path: Path) -> None:
    (tmp_path / "index.md").write_text("# Plants\n\nSee [the source](../DEVELOPERS.md#rules).\n")
    page = rendered(Handbook(tmp_path))["index.html"].decode()
    assert '<a title="in the repository: ../DEVELOPERS.md">the source</a>' in page


def test_a_page_from_outside_leads_to_the_others_and_to_their_pictures(tmp_path: Path) -> None:
    (tmp_path / "docs").mkdir()
    index = "# Plants\n\n## Here\n\n- [Two](../two.md): a page\n- [One](one.md): another\n"
    (tmp_path / "docs" / "index.md").write_text(index)
    (tmp_path / "docs" / "one.md").write_text("# One\n\n[two](../two.md)\n")
    text = "# Two\n\n[one](docs/one.md#one) ![Drawing](docs/pictures/a.svg)\n"
    (tmp_path / "two.md").write_text(text)
    pages = rendered(Handbook(tmp_path / "docs"))
    assert '<a href="two.html">two</a>' in pages["one.html"].decode()
    assert '<a href="one.html#one">one</a>' in pages["two.html"].decode()
    assert '<img src="pictures/a.svg" alt="Drawing"' in pages["two.html"].decode()


@pytest.mark.parametrize(
    ("heading", "expected"),
    [  # by GitHub's rule, from memory: small letters, signs dropped, blanks to hyphens
        ("Rates by the year", "rates-by-the-year"),
        ("`matrix_t10`", "matrix_t10"),
        ("E0101: a line can't be read", "e0101-a-line-cant-be-read"),
        ("Calibration: `hoggin fit`", "calibration-hoggin-fit"),
    ],
)
def test_an_anchor_is_the_one_that_links_name(heading: str, expected: str) -> None:
    assert anchor(heading) == expected


@pytest.mark.slow
def test_the_page_of_documents_has_every_file_that_is_issued() -> None:
    results = balanced(check_file(ROOT / "examples" / "quarry.hog"))
    assert results is not None
    page = BOOK.text("documents.md")
    for name in documents(results):
        folder, _, file = name.rpartition("/")
        stem, _, ending = file.rpartition(".")
        assert f"`{folder or stem.removeprefix('equipment_')}" in page, name
        assert f".{ending}`" in page, name


def test_docs_lists_the_pages_within_80_columns(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["docs"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert max(map(len, lines)) <= 80
    assert "Start here:" in lines
    assert sum(line.startswith("  tutorial ") for line in lines) == 1


@pytest.mark.slow
def test_docs_opens_a_page_that_is_there_with_its_pictures(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    opened: list[str] = []
    monkeypatch.setattr("webbrowser.open", opened.append)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "a cache"))
    assert main(["docs", "report"]) == 0
    assert capsys.readouterr().out.splitlines() == opened
    place = tmp_path / "a cache" / "hoggin" / "docs" / "report.html"
    assert opened == [place.as_uri()]
    assert "<h1" in place.read_text(encoding="utf-8")
    assert (place.parent / "pictures" / "report" / "front.png").is_file()


def test_docs_prints_a_page(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["docs", "view.md", "--print"]) == 0
    assert capsys.readouterr().out == (ROOT / "docs" / "view.md").read_text(encoding="utf-8")


def test_a_printed_page_begins_with_its_title(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["docs", "diagnostics", "--print"]) == 0
    assert capsys.readouterr().out.startswith("# Diagnostics\n")


def test_docs_refuses_a_page_that_is_not_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["docs", "langage"]) == 2
    assert capsys.readouterr().err == (
        "hoggin: there is no page `langage`. did you mean `language`?\n"
    )


def test_docs_says_where_the_pages_are_missing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("hoggin.commands.documenting.handbook", lambda: Handbook(tmp_path))
    assert main(["docs"]) == 2
    assert f"`{tmp_path}`: there is no such file" in capsys.readouterr().err
