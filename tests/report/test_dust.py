"""The dust section: sums are those of the sources, units follow the hours, cautions are said."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from hoggin.balance import balance
from hoggin.check.checker import check_file
from hoggin.rating.rate import rate
from hoggin.report import dust, equipment, text
from hoggin.report.tables import Table
from hoggin.schema.results import Results
from tests.report.shown import schedule_text

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def hourly() -> Results:
    plant = check_file(EXAMPLES / "quarry.hog").plant
    assert plant is not None
    results = rate(plant, balance(plant), "quarry.hog")
    return results.model_copy(update={"running_h": None})


@pytest.fixture(scope="module")
def yearly(hourly: Results) -> Results:
    return hourly.model_copy(update={"running_h": 2000.0})


def numbers(table: Table, heading: str) -> list[float]:
    place = [column.full_heading for column in table.columns].index(heading)
    return [float(value) for row in table.rows if (value := row[place]) is not None]


@pytest.mark.slow
def test_the_plants_row_is_the_sum_of_its_operations_and_of_all_sources(hourly: Results) -> None:
    *parts, whole = numbers(dust.by_operation(hourly), "PM10 (kg/h)")
    assert whole == pytest.approx(math.fsum(parts))
    assert whole == pytest.approx(sum(numbers(dust.by_source(hourly), "PM10 (g/h)")) / 1000)


def test_tonnes_a_year_are_kilograms_an_hour_times_the_hours(yearly: Results) -> None:
    """By hand: 1 kg/h for 2000 h is 2 t."""
    table = dust.by_operation(yearly)
    hourly_rates = numbers(table, "PM, controlled (kg/h)")
    assert numbers(table, "PM, controlled (t/y)") == pytest.approx([2 * r for r in hourly_rates])


def test_without_hours_there_are_none_a_year_and_the_reader_is_told_how(hourly: Results) -> None:
    table = dust.by_operation(hourly)
    assert not any("t/y" in column.full_heading for column in table.columns)
    assert "hours_per_year 2500 h" in schedule_text(hourly)


def test_the_terminal_has_the_sums_and_the_document_every_source(yearly: Results) -> None:
    terminal, whole = schedule_text(yearly), text.markdown(equipment.document(yearly))
    assert "DUST BY SOURCE" not in terminal and "fines screening" in terminal
    assert "## Dust by source" in whole and "primary -> surge" in whole.replace("\\", "")
    assert max(map(len, terminal.splitlines())) <= 140


@pytest.mark.parametrize("said", ["silica", "local permits", "AP-42", "from memory"])
def test_cautions_and_the_source_are_said_in_both(yearly: Results, said: str) -> None:
    assert said in " ".join(schedule_text(yearly).split())
    assert said in text.markdown(equipment.document(yearly))


def test_a_document_without_dust_reads_as_before(hourly: Results) -> None:
    old = hourly.model_copy(update={"dust": ()})
    assert dust.sections(old, brief=False) == ()
