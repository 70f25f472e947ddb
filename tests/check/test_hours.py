"""The plant's hours a year: read with their unit, and kept to what a year holds."""

from __future__ import annotations

import pytest

from tests.check.reading import FEED, LIBRARIES, MATERIAL, codes, plant_of


def plant(line: str) -> str:
    flow = "  rock -> product all\n"
    head = LIBRARIES + MATERIAL
    return f'{head}plant "hours" {{\n{FEED}{flow}  {line}\n}}\n'


def test_hours_are_read_in_any_unit_of_time() -> None:
    assert plant_of(plant("operation { hours_per_year 2500 h }")).hours_per_year == pytest.approx(
        2500
    )
    assert plant_of(
        plant("operation { hours_per_year 150000 min }")
    ).hours_per_year == pytest.approx(2500)
    assert plant_of(plant("")).hours_per_year is None


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("operation { hours_per_year 9000 h }", "E0306"),  # a leap year has 366 x 24 = 8784 h
        ("operation { hours_per_year 0 h }", "E0306"),
        ("operation { hours_per_year 2500 }", "E0303"),
        ("operation { hours_per_year 25 mm }", "E0302"),
        ("operation { hours_per_year { 1 h } }", "E0403"),
        ("operation { hours_per_year 2500 h; hours_per_year 2500 h }", "E0202"),
        ("hours 2500 h", "E0403"),
    ],
)
def test_hours_that_cannot_be_are_faults(line: str, code: str) -> None:
    assert [found for found in codes(plant(line)) if found.startswith("E")] == [code]
