"""Answers read with units, and refused in plain sentences."""

from __future__ import annotations

import contextlib
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoggin.commands.command_line import ROCKS as CHOICES
from hoggin.start import ROCKS, AnswerError, read_answers
from hoggin.start.answers import products, rate, rock, top_size
from hoggin.start.gradings import usual_grading


@pytest.mark.parametrize(
    ("text", "t_h"),
    [
        ("450 t/h", 450.0),
        ("450t/h", 450.0),
        ("500 stph", 453.59237),  # 2000 lb of 0.45359237 kg: definition of the short ton
        ("100 kg/s", 360.0),
    ],
)
def test_a_rate_is_read_in_any_unit_of_the_language(text: str, t_h: float) -> None:
    assert rate(text) == pytest.approx(t_h)


@pytest.mark.parametrize(
    ("text", "mm"), [("800 mm", 800.0), ("0.8 m", 800.0), ("32 in", 812.8), ("2 ft", 609.6)]
)
def test_a_size_is_read_in_any_unit_of_the_language(text: str, mm: float) -> None:
    """Inch of 25.4 mm and foot of 304.8 mm: definitions."""
    assert top_size(text) == pytest.approx(mm)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("450", "Write the unit too"),
        ("lots", "not a quantity"),
        ("300,5 t/h", "write it as `300.5 t/h`"),
        ("450 mm", "does not fit here"),
        ("5 t/h", "20 t/h to 1500 t/h"),
        ("-3 t/h", "not a quantity"),
    ],
)
def test_a_rate_that_is_none_is_refused_with_what_to_write(text: str, said: str) -> None:
    with pytest.raises(AnswerError, match=said):
        rate(text)


def test_products_come_from_fine_to_coarse_in_any_order_asked() -> None:
    assert [one.sizes for one in products("8/16, 0/4, 4/8 mm")] == ["0/4", "4/8", "8/16"]


def test_gaps_between_products_are_filled_and_marked() -> None:
    """Rock of every size has to go somewhere: conservation."""
    found = products("4/8, 16/32")
    assert [(one.sizes, one.asked) for one in found] == [
        ("0/4", False),
        ("4/8", True),
        ("8/16", False),
        ("16/32", True),
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("0/8, 4/16", "overlap"),
        ("8/4", "smaller size first"),
        ("4-8", "write it as `4/8`"),
        ("", "at least one product"),
        ("0/150", "8 mm to 80 mm"),
        ("0/2", "8 mm to 80 mm"),
        ("0/10, 10/12", "too narrow for a screen"),
        ("0/4, 5/11", "between 4 and 5 mm"),
        ("0/1, 1/2, 2/4, 4/8, 8/16, 16/32, 32/63", "7 size ranges"),
    ],
)
def test_products_that_cannot_be_are_refused(text: str, said: str) -> None:
    with pytest.raises(AnswerError, match=said):
        products(text)


def test_an_unknown_rock_is_answered_with_the_known_ones() -> None:
    with pytest.raises(AnswerError, match="granite, limestone, basalt, gravel"):
        rock("chalk")
    assert tuple(ROCKS) == CHOICES


def test_a_feed_that_is_the_product_already_is_told() -> None:
    with pytest.raises(AnswerError, match="nothing to crush or screen"):
        read_answers("100 t/h", "60 mm", "granite", "0/63")


@pytest.mark.parametrize("kind", ROCKS)
@pytest.mark.parametrize("top", ["20 mm", "65 mm", "400 mm", "1200 mm"])
def test_a_usual_grading_falls_from_all_passing(kind: str, top: str) -> None:
    """By the definition of a cumulative grading."""
    answers = read_answers("100 t/h", top, kind, "0/4, 4/8")
    points = usual_grading(answers)
    assert points[0] == (answers.top_mm, 100.0)
    assert len(points) >= 4
    for (above, high), (below, low) in pairwise(points):
        assert above > below and high > low > 0


@given(st.text(alphabet="0123456789./, mt-h", max_size=30))
def test_any_text_is_read_or_refused_and_what_is_read_leaves_no_gap(text: str) -> None:
    """By what products are for: every size of the crushed rock is in exactly one of them."""
    for read in (rate, top_size):
        with contextlib.suppress(AnswerError):
            assert read(text) > 0
    with contextlib.suppress(AnswerError):
        found = products(text)
        assert found[0].lower_mm == 0
        assert all(finer.upper_mm == coarser.lower_mm for finer, coarser in pairwise(found))
        assert len({product.tag for product in found}) == len(found)
