"""Cells of a CSV text have the places at which they begin."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoggin.errors import HogginError
from hoggin.intake.comma_separated import read_records


def test_a_cell_begins_after_its_separator_whatever_is_quoted() -> None:
    text = 'a,"b, c",d\n"two\nlines",e"f,"g""h",i\n'
    found = [
        [(c.text, c.line, c.column) for c in row]
        for row in read_records("t.csv", text.encode()).rows
    ]
    assert found == [
        [("a", 1, 1), ("b, c", 1, 3), ("d", 1, 10)],
        [("two lines", 2, 1), ('e"f', 3, 8), ('g"h', 3, 12), ("i", 3, 19)],
    ]


@pytest.mark.slow
@settings(max_examples=400, deadline=None)
@given(st.text(alphabet='a1",;\t\n\r ', max_size=40))
def test_every_cell_of_any_text_has_a_place(text: str) -> None:
    """As many as the csv module of Python finds; where it refuses a text, so do we."""
    try:
        records = read_records("t.csv", text.encode())
    except HogginError:
        return
    outside = "".join(text.split('"')[::2])
    sign = next((sign for sign in ";\t" if sign in outside), ",")
    rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=sign))
    assert [len(row) for row in records.rows] == [len(row) for row in rows]
    for row in records.rows:
        places = [(cell.line, cell.column) for cell in row]
        assert places == sorted(set(places))
