"""Every number of the table of outside numbers, and the page that shows them."""

from pathlib import Path

import pytest

from tests.outside_numbers import OutsideNumber, page, topics

NUMBERS = [number for topic in topics() for number in topic.numbers]
PAGE = Path(__file__).parents[1] / "docs" / "outside_numbers.md"


@pytest.mark.slow
@pytest.mark.parametrize("number", NUMBERS, ids=[number.name for number in NUMBERS])
def test_ours_is_the_outside_number(number: OutsideNumber) -> None:
    ours = number.ours()
    assert abs(ours - number.value) <= number.tolerance, f"{ours} {number.unit}: {number.source}"


def test_each_number_is_declared_once_with_its_source() -> None:
    names = [number.name for number in NUMBERS]
    assert len(names) == len(set(names))
    assert all(number.source and number.tolerance >= 0.0 for number in NUMBERS)
    assert len(NUMBERS) >= 40


@pytest.mark.slow
def test_the_page_is_up_to_date() -> None:
    told = "run `python -m tests.outside_numbers docs/outside_numbers.md`"
    assert PAGE.read_text(encoding="utf-8") == page(), told
