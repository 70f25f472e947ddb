"""The one rule of figures, held against rounding in decimal arithmetic (General Decimal Arithmetic
specification, by Python's `decimal`), and over every number of results and documents."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import ROUND_HALF_EVEN, Context, Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoggin.balancing import balanced
from hoggin.check.checker import check_file
from hoggin.report import dust, equipment, mass_balance
from hoggin.report.tables import Column, Table
from hoggin.schema.figures import COUNT, ESTIMATE, LOAD, NUMBER, PERCENT, RATE, STATED, Figures
from hoggin.schema.leaves import leaves
from hoggin.schema.quantity import FAMILIES, Family, Quantity
from hoggin.schema.results import Results

EXAMPLES = Path(__file__).parents[2] / "examples"
PLANTS = ("quarry.hog", "sand.hog", "cookbook/washed_gravel.hog", "cookbook/tramp_guard.hog")
MOST_DIGITS = 6  # of any number of a document; what the plant states may have as many


@pytest.fixture(scope="module", params=PLANTS)
def results(request: pytest.FixtureRequest) -> Results:
    found = balanced(check_file(EXAMPLES / request.param))
    assert found is not None
    return found


def significant_digits(text: str) -> int:
    return len(re.sub(r"[-.]", "", text).lstrip("0"))


@pytest.mark.parametrize(
    ("figures", "value", "text"),
    [
        (RATE, 450.0, "450.0"),
        (RATE, 1377.7, "1378"),
        (RATE, 13777.7, "13778"),
        (RATE, 0.0, "0"),
        (RATE, 0.04, "0.0"),  # not nothing
        (RATE, -1e-12, "0.0"),
        (RATE, 999.96, "1000"),
        (PERCENT, 0.9999, "100.0"),
        (PERCENT, 0.016, "1.6"),
        (LOAD, 0.7838, "78.4"),
        (LOAD, 1.443, "144"),
        (NUMBER, 9.996, "10.0"),
        (NUMBER, 0.0628, "0.0628"),
        (ESTIMATE, 30853.1, "31000"),
        (ESTIMATE, 0.0341, "0.034"),
        (COUNT, 12.0, "12"),
        (STATED, 22.4, "22.4"),
        (STATED, 22.0, "22"),
    ],
)
def test_a_number_is_shown_to_its_figures(figures: Figures, value: float, text: str) -> None:
    assert figures.text(value) == text


@given(st.sampled_from(FAMILIES), st.floats(1e-4, 1e7))
def test_what_is_shown_is_the_number_rounded_to_significant_digits_or_to_the_last_place(
    family: Family, value: float
) -> None:
    figures = family.figures
    shown = Decimal(figures.text(value))
    exact = Decimal(value) * (100 if figures.share else 1)
    context = Context(prec=figures.digits, rounding=ROUND_HALF_EVEN)
    by_digits = context.plus(exact)
    coarsest = max(abs(by_digits - exact), Decimal(10) ** -figures.decimals / 2)
    assert abs(shown - exact) <= coarsest * (1 + Decimal("1e-9"))
    whole = len(str(int(abs(shown))))
    most = figures.digits if figures.coarse else max(figures.digits, whole)
    digits = significant_digits(format(shown, "f"))
    assert digits <= most or (figures.coarse and shown == by_digits)


def test_no_number_of_results_is_shown_finer_than_its_family(results: Results) -> None:
    seen = 0
    for leaf in leaves(results):
        if isinstance(leaf.nature, Quantity) and isinstance(leaf.value, float):
            figures = leaf.nature.family.figures
            text = figures.text(leaf.value)
            decimals = len(text.partition(".")[2])
            assert decimals <= figures.decimals, (leaf, text)
            if "." in text:
                assert significant_digits(text) <= figures.digits, (leaf, text)
            seen += 1
    assert seen > 100


def cells(results: Results) -> Iterator[tuple[Table, Column, str]]:
    documents = (mass_balance.document(results), equipment.document(results))
    for document in documents:
        for table in document.tables:
            for place, column in enumerate(table.columns):
                for text in table.texts(place) if column.numeric else ():
                    yield table, column, text


def test_no_cell_of_a_document_has_more_digits_than_a_reader_can_use(results: Results) -> None:
    for table, column, text in cells(results):
        digits = significant_digits(text)
        assert digits <= MOST_DIGITS, (table.title, column.heading, text)
        if "." in text and column.figures is not STATED:
            assert digits <= 4, (table.title, column.heading, text)


def test_a_setting_that_a_class_works_out_is_not_given_to_its_last_digit(results: Results) -> None:
    assert results.plant is not None
    for machine in results.plant.machines:
        for setting in machine.settings:
            for number in re.findall(r"\d+\.\d+", setting.text):
                assert significant_digits(number) <= 4, (machine.tag, setting)


def test_dust_by_factors_of_two_digits_has_two(results: Results) -> None:
    for table in (dust.by_operation(results), dust.by_source(results)):
        for place, column in enumerate(table.columns):
            if column.heading.startswith("PM"):
                shown = [text.rstrip("0") for text in table.texts(place) if text != "-"]
                assert all(significant_digits(text) <= 2 for text in shown)


def test_the_points_of_a_column_are_under_each_other(results: Results) -> None:
    for document in (mass_balance.document(results), equipment.document(results)):
        for table in document.tables:
            for place, column in enumerate(table.columns):
                if column.numeric:
                    after = {
                        len((text + pad).partition(".")[2]) if "." in text + pad else 0
                        for text, pad in zip(table.texts(place), table.pads(place), strict=True)
                    }
                    assert len(after) <= 1, (table.title, column.heading)
