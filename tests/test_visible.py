"""What is seen of a text, against Unicode's own properties and what spreadsheets run.

Formula signs: OWASP, "CSV Injection". Full-width and raised forms are those that Unicode's NFKC
turns into the plain ones (Unicode Standard Annex 15); characters that are not seen are those of the
property Default_Ignorable_Code_Point (Unicode Standard Annex 44), some of them from memory.
"""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoggin.visible import says_something, starts_formula

_UNSEEN = [
    "\u00ad",  # soft hyphen
    "\u034f",  # combining grapheme joiner
    "\u115f\u1160",  # fillers
    "\u180e",
    "\u200b\u200c\u200d",
    "\u202e",
    "\u2060",
    "\u2800",  # empty Braille cell
    "\u3000",  # a full-width blank
    "\u3164",
    "\ufe0f",
    "\ufeff",
    "\uffa0",
    "\U000e0020",
    " \t",
    "\u00a0",
]


@pytest.mark.parametrize("unseen", _UNSEEN)
@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\uff1d", "\ufe66", "\u207c", "\uff20"])
def test_a_formula_behind_what_is_not_seen_is_one(unseen: str, sign: str) -> None:
    assert starts_formula(f"{unseen}{sign}1+1")
    assert starts_formula(f"{unseen}{unseen}{sign}cmd")


@pytest.mark.parametrize("text", ["", "0/4 sand", "a=b", "\u00e9clat", "e\u0301clat", "'=1"])
def test_other_texts_are_none(text: str) -> None:
    assert not starts_formula(text)


@pytest.mark.parametrize("unseen", [*_UNSEEN, "", "".join(_UNSEEN)])
def test_what_is_not_seen_says_nothing(unseen: str) -> None:
    assert not says_something(unseen)
    assert says_something(f"{unseen}a{unseen}")


@given(st.text())
def test_a_text_with_a_letter_or_digit_says_something(text: str) -> None:
    assert says_something(text + "7")
    plain = [c for c in text if c.isascii() and c.isalnum()]
    assert not plain or says_something(text)


@given(st.text(alphabet=st.characters(categories=["Cc", "Cf", "Zs"])), st.sampled_from("=+-@"))
def test_whatever_formats_stand_before_it(unseen: str, sign: str) -> None:
    assert starts_formula(unseen + sign)
    assert unicodedata.normalize("NFKC", sign) == sign
