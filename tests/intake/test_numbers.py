"""Numbers as offices of different countries write them; what each means is said by hand."""

from __future__ import annotations

import locale

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoggin.intake.numbers import as_number, decimal_sign
from hoggin.intake.sheet import SheetError

NONE, POINT, COMMA, BOTH = "", ".", ",", "?"


@pytest.mark.parametrize(
    ("text", "sign", "value"),
    [
        ("35.2", NONE, 35.2),
        ("35,2", NONE, 35.2),
        ("0,063", NONE, 0.063),
        ("1,234", POINT, 1234.0),
        ("1,234", COMMA, 1.234),
        ("1.234", NONE, 1.234),
        ("1.234", COMMA, 1234.0),
        ("1,234.5", NONE, 1234.5),
        ("1.234,5", NONE, 1234.5),
        ("1 234,5", NONE, 1234.5),
        ("1\u202f234.5", NONE, 1234.5),
        ("1'234.5", NONE, 1234.5),
        ("1,234,567", NONE, 1234567.0),
        ("55 %", NONE, 55.0),
        ("120.5 g", NONE, 120.5),
        ("−3", NONE, -3.0),
        ("12,5", BOTH, 12.5),
        ("12.5", BOTH, 12.5),
    ],
)
def test_a_number_is_read_as_it_is_meant(text: str, sign: str, value: float) -> None:
    assert as_number(text, sign) == pytest.approx(value)


@pytest.mark.parametrize(
    ("text", "sign"),
    [
        ("1,234", NONE),  # a thousand, or one and a bit
        ("1.234", BOTH),
        ("12,5", POINT),
        ("12.5", COMMA),
        ("9O", NONE),
        ("1_000", NONE),
        ("nan", NONE),
        ("inf", NONE),
        ("1e999", NONE),
        ("5 5.2", NONE),
        ("=1+1", NONE),
        ("", NONE),
        ("٣", NONE),
    ],
)
def test_what_is_in_doubt_is_no_number(text: str, sign: str) -> None:
    with pytest.raises(SheetError):
        as_number(text, sign)


def test_the_sheets_other_cells_settle_the_decimal_sign() -> None:
    assert decimal_sign(["100", "82,5", "1,234"]) == COMMA
    assert decimal_sign(["100", "82.5", "1,234"]) == POINT
    assert decimal_sign(["100", "1,234"]) == NONE
    assert decimal_sign(["82,5", "82.5"]) == BOTH


@given(st.decimals(0, 99999, places=2))
def test_groups_of_thousands_as_pythons_own_formatting_writes_them(value: object) -> None:
    """Reference: `format` of the standard library, and `locale.delocalize` for its reverse."""
    text = f"{value:,.2f}"
    assert as_number(text, NONE) == pytest.approx(float(locale.delocalize(text.replace(",", ""))))
    swapped = text.translate(str.maketrans(",.", ".,"))
    assert as_number(swapped, NONE) == pytest.approx(float(text.replace(",", "")))


@given(st.text(max_size=30), st.sampled_from([NONE, POINT, COMMA, BOTH]))
def test_any_text_is_a_number_or_is_refused(text: str, sign: str) -> None:
    try:
        value = as_number(text, sign)
    except SheetError:
        return
    assert abs(value) <= 1e12
