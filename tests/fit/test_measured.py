"""CSV of measured gradings: what is read, and faults at their line and column."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.render import render_all
from hoggin.diagnostics.source import Source
from hoggin.fit.measured import MOST_ROWS, read_samples
from tests.fit.synthetic import samples_of

PLAIN = """\
sample,css mm,size mm,feed % passing,product % passing
one,20,80,100,100
one,20,40,70,98.5
one,20,20,40,62
one,20,5,,20
two,32,80,100,99
two,32,40,70,81
two,32,20,40,45.5
"""


def faults(text: str) -> list[tuple[str, int, int]]:
    diagnostics = Diagnostics()
    assert read_samples(Source("data.csv", text), diagnostics) == ()
    assert "data.csv:" in render_all(diagnostics)
    return [(d.code, d.span.line, d.span.column) for d in diagnostics]


def test_samples_hold_their_setting_and_gradings_coarse_to_fine() -> None:
    one, two = samples_of(PLAIN)
    assert (one.name, one.css_mm, two.name, two.css_mm) == ("one", 20.0, "two", 32.0)
    assert [(p.size_mm, p.passing) for p in one.feed] == [(80.0, 1.0), (40.0, 0.7), (20.0, 0.4)]
    assert [p.passing for p in one.product] == [1.0, 0.985, 0.62, 0.2]


@pytest.mark.parametrize(
    "text",
    [
        PLAIN.replace(",", ";").replace("98.5", "98,5").replace("45.5", "45,5"),
        PLAIN.replace(",", "\t").replace("98.5", "98,5"),
        PLAIN.replace(",", " , "),
        PLAIN.replace("\n", ",,\n"),  # a spreadsheet's empty columns
        "# belt cuts, an invented plant\n\n" + PLAIN.replace("\n", "\n\n"),
        PLAIN.replace("one", '"one"').replace("98.5", '"98.5"'),
        PLAIN.replace("css mm", "CSS (mm)").replace("feed % passing", "passing_feed_pct"),
        PLAIN.splitlines()[0] + "\n" + "\n".join(reversed(PLAIN.splitlines()[1:])),
    ],
    ids=["semicolons", "tabs", "blanks", "empty columns", "comments", "quotes", "heads", "order"],
)
def test_the_same_measurements_in_other_dress_are_read_alike(text: str) -> None:
    def numbers(text: str) -> list[tuple[object, ...]]:
        return sorted(
            (
                s.name,
                s.css_mm,
                tuple((p.size_mm, p.passing) for p in s.feed),
                tuple((p.size_mm, p.passing) for p in s.product),
            )
            for s in samples_of(text)
        )

    assert numbers(text) == numbers(PLAIN)


def test_a_table_of_three_columns_is_one_sample_without_a_setting() -> None:
    (only,) = samples_of("size mm,feed % passing,product % passing\n80,100,100\n40,70,90\n5,9,20\n")
    assert (only.name, only.css_mm, len(only.product)) == ("", None, 3)


def test_a_quoted_name_may_hold_the_delimiter_and_quotes() -> None:
    one, _ = samples_of(PLAIN.replace("one", '"day ""A"", early"'))
    assert one.name == 'day "A", early'


@pytest.mark.parametrize(
    ("change", "found"),
    [
        (("feed % passing", "feed"), ("E0901", 1, 23)),
        (("css mm", "size mm"), ("E0901", 1, 16)),  # two columns of one name: the second
        ((",product % passing", ""), ("E0901", 1, 1)),
        (("one,20,40,70,98.5", "one,20,40,7O,98.5"), ("E0901", 3, 11)),
        (("one,20,40,70,98.5", "one,20,40,70,nan"), ("E0901", 3, 14)),
        (("one,20,40,70,98.5", "one,20,40,70,1_0"), ("E0901", 3, 14)),
        (("one,20,40,70,98.5", "one,20,40,-70,98.5"), ("E0901", 3, 11)),
        (("one,20,40,70,98.5", "one,20,,70,98.5"), ("E0901", 3, 1)),
        (("one,20,40,70,98.5", "one,20,40,70,98.5,late"), ("E0901", 3, 19)),
        (("one,20,40,70,98.5", "one,20,40,700,98.5"), ("E0902", 3, 11)),
        (("one,20,40,70,98.5", "one,20,1e999,70,98.5"), ("E0902", 3, 8)),
        (("one,20,40,70,98.5", "one,20,0,70,98.5"), ("E0902", 3, 8)),
        (("one,20,40,70,98.5", "one,21,40,70,98.5"), ("E0902", 3, 5)),
        (("one,20,20,40,62", "one,20,20,75,62"), ("E0902", 4, 11)),
        (("one,20,20,40,62", "one,20,20,40,99"), ("E0902", 4, 14)),
        (("one,20,20,40,62", "one,20,40,40,62"), ("E0902", 4, 11)),
        (("one,20,80,100,100", "one,20,80,97,100"), ("E0902", 2, 11)),
        (("two,32,40,70,81\ntwo,32,20,40,45.5\n", ""), ("E0903", 6, 1)),
        (("two,32,80", "two,,80"), None),
    ],
)
def test_a_fault_is_told_at_its_line_and_column(
    change: tuple[str, str], found: tuple[str, int, int] | None
) -> None:
    assert change[0] in PLAIN
    text = PLAIN.replace(*change, 1)
    if found is None:  # a setting once a sample is enough
        assert samples_of(text)[1].css_mm == 32.0
    else:
        assert found in faults(text)


def test_exchanged_columns_are_told() -> None:
    rows = "80,100,100\n40,98,70\n20,62,40\n5,30,10\n"
    assert faults("size mm,feed % passing,product % passing\n" + rows) == [("E0902", 2, 8)]


@pytest.mark.parametrize("text", ["", "\n\n", "# nothing\n", ",,,\n"])
def test_an_empty_table_is_told(text: str) -> None:
    assert faults(text) == [("E0901", 1, 1)]


def test_a_heading_alone_is_told() -> None:
    assert faults(PLAIN.splitlines()[0]) == [("E0903", 1, 1)]


def test_a_sample_without_a_setting_among_others_is_told() -> None:
    assert faults(PLAIN.replace("two,32", "two,")) == [("E0901", 6, 1)]


def test_faults_are_cut_short_and_tables_bounded() -> None:
    head = "size mm,feed % passing,product % passing\n"
    assert 20 <= len(faults(head + "x,y,z\n" * 500)) <= 22
    assert ("E0901", MOST_ROWS + 2, 1) in faults(head + "5,50,50\n" * (MOST_ROWS + 5))
    many = "".join(f"{900 - n},100,100\n" for n in range(200))
    assert ("E0901", 1, 1) in faults(head + many)


_cells = st.sampled_from(
    ["", "1", "20", "100", "1e3", "nan", "-1", '"', '""', "x", "css mm", "size mm", "%", "\0", "é",
     "feed % passing", "product % passing", "sample", "9" * 400, "٣"]
)  # fmt: skip


@pytest.mark.slow
@settings(max_examples=300, deadline=None)
@given(
    rows=st.lists(st.lists(_cells, max_size=6), max_size=8),
    delimiter=st.sampled_from(",;\t"),
    head=st.booleans(),
)
def test_any_table_is_read_or_told_of(rows: list[list[str]], delimiter: str, head: bool) -> None:
    lines = [PLAIN.splitlines()[0].replace(",", delimiter)] if head else []
    text = "\n".join(lines + [delimiter.join(row) for row in rows])
    diagnostics = Diagnostics()
    samples = read_samples(Source("data.csv", text), diagnostics)
    assert bool(samples) != diagnostics.has_errors
    render_all(diagnostics)


@pytest.mark.slow
@settings(max_examples=300, deadline=None)
@given(st.text(max_size=200))
def test_any_text_is_read_or_told_of(text: str) -> None:
    diagnostics = Diagnostics()
    samples = read_samples(Source("data.csv", text), diagnostics)
    assert bool(samples) != diagnostics.has_errors
    render_all(diagnostics)
