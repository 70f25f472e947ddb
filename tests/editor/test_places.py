"""Positions against Python's own codecs, which know the encodings (Unicode standard, ch. 3.9)."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoggin.diagnostics.source import Source
from hoggin.editor.places import Encoding, offset_of, plain, position_of

TEXTS = st.text(
    st.one_of(st.characters(exclude_categories=["Cs"]), st.sampled_from("\r\n\U0001f600"))
)
UNIT = {"utf-8": ("utf-8", 1), "utf-16": ("utf-16-le", 2), "utf-32": ("utf-32-le", 4)}


@pytest.mark.slow
@given(TEXTS, st.data(), st.sampled_from(get_args(Encoding)))
def test_a_position_is_the_codecs_count(text: str, data: st.DataObject, encoding: Encoding) -> None:
    source = Source("a.hog", plain(text))
    offset = data.draw(st.integers(0, len(source.text)))
    before = source.text[:offset].split("\n")
    codec, size = UNIT[encoding]
    position = position_of(source, offset, encoding)
    assert position == (len(before) - 1, len(before[-1].encode(codec)) // size)
    assert offset_of(source, position, encoding) == offset


@given(TEXTS)
def test_lines_and_columns_stay_where_they_were(text: str) -> None:
    """The protocol ends lines at \\n, \\r\\n and \\r; what is read has \\n alone."""
    kept = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    assert [len(line) for line in plain(text).split("\n")] == [len(line) for line in kept]


def test_places_outside_the_text_are_the_nearest_in_it() -> None:
    source = Source("a.hog", "ab\n\U0001f600c\n")
    assert offset_of(source, (0, 99)) == 2
    assert offset_of(source, (99, 0)) == len(source.text)
    assert offset_of(source, (-1, -5)) == 0
    assert offset_of(source, (1, 1)) == 3  # within a pair of units: the character's start
    assert position_of(source, 10**6) == (2, 0)
