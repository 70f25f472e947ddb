"""Tables as text: what a terminal, a Markdown reader and a CSV reader make of them."""

from __future__ import annotations

import csv
import io
import re
import unicodedata

import pytest
from markdown_it import MarkdownIt
from markdown_it.token import Token

from hoggin.report import equipment, mass_balance, text
from hoggin.report.grid import split_to_width
from hoggin.report.tables import Column, Document, Section, Table
from hoggin.schema import figures
from hoggin.schema.results import Results
from tests.report.shown import balance_text, schedule_text

RUN = {"link_open", "image", "html_inline", "html_block", "em_open", "strong_open", "s_open",
       "bullet_list_open", "ordered_list_open", "blockquote_open", "hr", "fence"}  # fmt: skip
FORMULA_STARTS = "=+-@\t\r"  # OWASP, "CSV Injection": starts a spreadsheet runs as a formula


def tokens(document: str) -> list[Token]:
    """What Markdown's reader finds in a document, whatever lies in what."""
    found = MarkdownIt("commonmark").enable(["strikethrough", "table"]).parse(document)
    return [part for block in found for part in (block, *(block.children or ()))]


def kinds(document: str) -> set[str]:
    return {token.type for token in tokens(document)}


def shown(document: str) -> str:
    """The words that a reader sees."""
    blocks = [token.children or () for token in tokens(document) if token.type == "inline"]
    return " ".join("".join(part.content for part in block) for block in blocks)


def read_csv(content: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(content)))


@pytest.mark.parametrize("width", [80, 120, 140, 160])
@pytest.mark.parametrize("sample", ["quarry", "large", "hostile"])
def test_terminal_text_fits_the_width(
    sample: str, width: int, request: pytest.FixtureRequest
) -> None:
    results = request.getfixturevalue(sample)
    for shown in (balance_text, schedule_text):
        longest = max(shown(results, width).splitlines(), key=len)
        assert len(longest) <= width, longest


def test_terminal_text_carries_no_control_or_direction_characters(hostile: Results) -> None:
    shown = balance_text(hostile) + schedule_text(hostile)
    odd = {c for c in shown if unicodedata.category(c) in ("Cc", "Cf") and c != "\n"}
    assert odd == set()


def test_a_split_table_repeats_its_keys_and_loses_no_column(quarry: Results) -> None:
    table = mass_balance.gradings(quarry, tuple(range(len(quarry.sieves_mm))))
    blocks = split_to_width(table, 100)
    assert len(blocks) > 1
    assert all(block.columns[:2] == table.columns[:2] for block in blocks)
    assert tuple(c for block in blocks for c in block.columns[2:]) == table.columns[2:]
    for place, row in enumerate(table.rows):
        assert tuple(v for block in blocks for v in block.rows[place][2:]) == row[2:]


def test_a_table_too_narrow_for_even_one_column_still_shows_each() -> None:
    columns = (
        Column("tag"),
        Column("rate", "t/h", figures.RATE),
        Column("P80", "mm", figures.NUMBER),
    )
    table = Table("narrow", columns, (("a_rather_long_tag", 1.0, 2.0),))
    assert [len(block.columns) for block in split_to_width(table, 10)] == [2, 2]


def test_the_terminal_leaves_out_only_sieves_that_every_stream_passes(small: Results) -> None:
    grading = balance_text(small, 160).split("STREAM GRADINGS")[1].split("\n\n")[0]
    # the feed's top size is 120 mm, so 125 mm is the finest sieve that all pass
    headings = next(line.split() for line in grading.splitlines() if line.startswith("no."))
    assert headings[2] == "125" and headings[-1] == "0.063"
    assert "coarser than 125 mm" in grading


@pytest.mark.parametrize("sample", ["quarry", "hostile"])
def test_markdown_tables_have_as_many_cells_in_every_row(
    sample: str, request: pytest.FixtureRequest
) -> None:
    """GitHub Flavored Markdown spec 0.29, section 4.10: an unescaped pipe divides cells."""
    results = request.getfixturevalue(sample)
    for backend in (mass_balance, equipment):
        document = text.markdown(backend.document(results))
        tables = re.findall(r"(?:^\|.*\n)+", document, flags=re.MULTILINE)
        assert len(tables) >= 4
        for table in tables:
            dividers = {len(re.findall(r"(?<!\\)\|", row)) for row in table.splitlines()}
            assert len(dividers) == 1, table


def test_markdown_shows_hostile_text_and_runs_none_of_it(hostile: Results) -> None:
    document = text.markdown(equipment.document(hostile))
    assert kinds(document) & RUN == {"bullet_list_open"}  # the document's own
    assert [line for line in document.splitlines() if line.startswith("# ")] == [
        document.splitlines()[0]
    ]


@pytest.mark.parametrize(
    "words",
    ["_a_ and __b__", "~~gone~~ and ~b~", "*a* **b**", "`a` ``b``", "1. a", "2) a", "- a", "+ a",
     "# a", "> a", "---", "===", "[a](b)", "![a](b)", "<b>a</b>", "&amp;", "a|b", "a\\_b\\",
     "primary_crusher, 2 @ 5 mm", "`a_ b@c` |d@e|", "see https://a_b_.example/?q=_c_ now"],
)  # fmt: skip
def test_markdown_shows_a_text_as_it_is(words: str) -> None:
    """markdown-it-py, CommonMark with GFM's tables and strikethrough, as the reader."""
    document = text.markdown(Document("title", "subtitle", (Section("heading", (words,)),)))
    assert kinds(document).isdisjoint(RUN)
    assert shown(document) == f"title subtitle heading {words}"


@pytest.mark.parametrize(
    "address", ["https://a.example", "HTTP://a.example", "www.a.example", "a@b.example", "@team"]
)
def test_markdown_has_addresses_as_code_so_that_no_program_makes_a_link(address: str) -> None:
    """GitHub Flavored Markdown spec 0.29, section 6.9, makes links of them, though not in code."""
    document = text.markdown(Document("title", f"({address}) a", ()))
    assert f"`({address})` a" in document


def test_csv_never_holds_a_formula(hostile: Results) -> None:
    for table in (
        *mass_balance.document(hostile).tables,
        *equipment.document(hostile).tables,
        mass_balance.stream_ledger(hostile),
    ):
        for row in read_csv(text.comma_separated(table)):
            for cell in row:
                if cell.startswith(tuple(FORMULA_STARTS)):
                    float(cell)  # a negative number, not a formula: anything else raises


@pytest.mark.parametrize("start", [*FORMULA_STARTS, " =", "\n="])
def test_csv_defuses_each_formula_start_and_keeps_the_words(start: str) -> None:
    table = Table("risky", (Column("words"),), ((f"{start}1+1 words",),))
    cell = read_csv(text.comma_separated(table))[1][0]
    assert cell.startswith("'") and cell.endswith("1+1 words")


def test_csv_numbers_are_in_the_unit_of_their_heading() -> None:
    columns = (
        Column("share", "%", figures.PERCENT),
        Column("change", "t/h", figures.RATE),
        Column("none"),
    )
    table = Table("numbers", columns, ((0.123456789012, -1.5, None),))
    heading, row = read_csv(text.comma_separated(table))
    assert heading == ["share (%)", "change (t/h)", "none"]
    assert row == ["12.3456789", "-1.5", ""]


def test_rows_must_match_their_columns() -> None:
    with pytest.raises(ValueError, match="row of 2 cells"):
        Table("wrong", (Column("one"),), (("a", "b"),))
