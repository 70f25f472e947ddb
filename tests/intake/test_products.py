"""Tables of products, a scenario of our own; the limits are read off the table by hand."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoggin.intake.opening import open_sheet
from hoggin.intake.product_text import bands_text, plant_text
from hoggin.intake.products import Product, Range, holds_products, read_products
from hoggin.intake.reading import Reading
from tests.intake.making import Rows, Value, sheet
from tests.intake.test_gradings import CELLS

TABLE: Rows = [
    ["Products of 2026, limits in % passing, sieves in mm"],
    ["Product", "Size", "Wanted (t/h)", "Share (%)", "Flakiness", 16, 8, 4],
    ["Chips", "4/8", 120, None, 20, 100, "85 - 99", "0-20"],
    ["Sand, washed", "0/4", "80 to 100", "≥ 30", None, None, 100, "min 85"],
    ["Base 0/16", None, "max 200", None, "FI35", "90–100", None, None],
]
LIMITS = [
    [(16, 100, 100), (8, 85, 99), (4, 0, 20)],
    [(8, 100, 100), (4, 85, 100)],
    [(16, 90, 100)],
]


def read(rows: Rows) -> tuple[tuple[Product, ...], Reading]:
    made = sheet(rows)
    reading = Reading(made)
    return read_products(reading), reading


def limits(products: tuple[Product, ...]) -> list[list[tuple[float, float, float]]]:
    return [[(one.mm, one.low, one.high) for one in product.limits] for product in products]


@pytest.mark.parametrize(
    "rows",
    [TABLE, [TABLE[0], *zip(*[[*r, *[None] * (8 - len(r))] for r in TABLE[1:]], strict=True)]],
)
def test_a_row_or_a_column_for_each_product(rows: Rows) -> None:
    found, reading = read(rows)
    assert reading.faults == []
    assert [product.name for product in found] == ["chips", "sand_washed", "base_0_16"]
    assert limits(found) == LIMITS
    assert [product.rate for product in found] == [
        Range(120, None),
        Range(80, 100),
        Range(None, 200),
    ]
    assert [product.share for product in found] == [None, Range(30, None), None]
    assert [product.flakiness for product in found] == [Range(None, 20), None, Range(None, 35)]


def test_limits_in_two_columns_below_a_merged_sieve(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    page = book.active
    page.append(["Product", "8 mm", None, "4 mm", None])
    page.append([None, "min", "max", "min", "max"])
    page.append(["Chips", 85, 99, 0, 20])
    page.merge_cells("B1:C1")
    page.merge_cells("D1:E1")
    page.merge_cells("A1:A2")
    book.save(tmp_path / "wanted.xlsx")
    _, made = open_sheet(str(tmp_path / "wanted.xlsx"), holds_products)
    reading = Reading(made)
    found = read_products(reading)
    assert reading.faults == []
    assert limits(found) == [[(8, 85, 99), (4, 0, 20)]]


def test_limits_of_what_is_retained_become_limits_of_what_passes() -> None:
    """By hand: 1 to 15 % retained on 8 mm is 85 to 99 % passing."""
    rows: Rows = [
        ["Limits, % retained (cumulative)"],
        ["Product", "8 mm", "4 mm"],
        ["Chips", "1-15", "80-100"],
    ]
    found, reading = read(rows)
    assert reading.faults == []
    assert limits(found) == [[(8, 85, 99), (4, 0, 20)]]


def test_faults_point_at_their_cells() -> None:
    rows: Rows = [
        ["Product", "Tonnage (t/year)", "8 mm", "4 mm", "3-5 mm"],
        ["Chips", 200_000, "99 - 85", "about 10", None],
        ["Sand", None, 50, 80, 1],
        [None, None, 90, None, None],
    ]
    found, reading = read(rows)
    assert found == ()
    report = reading.report()
    for cell in ("B1", "E1", "C2", "D2", "D3", "C4"):
        assert f"lab.xlsx, sheet Gradings, cell {cell}: " in report


def test_the_text_has_bands_and_lines_for_the_plant() -> None:
    found, reading = read(TABLE)
    bands = bands_text(found, reading.sheet)
    assert "8 mm: 85 % to 99 %" in bands and "16 mm: 100 %" in bands
    lines = plant_text(found, Path("wanted.hog")).splitlines()
    for line in (
        'use "wanted.hog" as wanted',
        'product chips       { title "Chips 4/8" }',
        "require chips meets wanted.chips",
        "require chips.rate >= 120 t/h",
        "require chips.flakiness <= 20 %",
        "require sand_washed.rate within 80 t/h to 100 t/h",
        "require sand_washed.share >= 30 %",
        "require base_0_16.rate <= 200 t/h",
    ):
        assert line in lines


@settings(max_examples=50, deadline=None)
@given(st.data())
def test_any_cell_gives_products_or_faults(data: st.DataObject) -> None:
    rows: list[list[Value]] = [list(row) for row in TABLE]
    row = data.draw(st.integers(0, len(rows) - 1))
    column = data.draw(st.integers(0, len(rows[row]) - 1))
    rows[row][column] = data.draw(CELLS)
    found, reading = read(rows)
    assert bool(found) != bool(reading.faults)


def test_a_sheet_of_headings_alone_has_no_products() -> None:
    found, reading = read([["Product", "Size"]])
    assert found == ()
    assert "cell A1: no products" in reading.report()


def test_a_row_of_sums_is_no_product() -> None:
    found, reading = read([["Product", "Wanted (t/h)"], ["Chips", 120], ["Total", 120]])
    assert [product.name for product in found] == ["chips"]
    assert reading.notes == ["`Total` in cell A3: not a product, ignored"]


def test_a_rate_below_nothing_and_a_share_above_all_are_refused() -> None:
    rows: Rows = [["Product", "Wanted (t/h)", "8 mm"], ["Chips", -5, 120]]
    report = read(rows)[1].report()
    assert "cell B2: a negative rate" in report
    assert "cell C2: 120 % is not within 0 % to 100 %" in report


@pytest.mark.parametrize(
    ("heading", "unit"),
    [("Wanted (stph)", "stph"), ("Wanted (tph)", "t/h"), ("Wanted (kg/h)", "kg/h")],
)
def test_a_rate_is_in_the_unit_of_its_heading(heading: str, unit: str) -> None:
    found, reading = read([["Product", heading], ["Chips", 120]])
    assert reading.faults == []
    assert [product.rate_unit for product in found] == [unit]
