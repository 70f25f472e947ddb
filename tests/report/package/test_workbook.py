"""The workbook, read back with openpyxl; its formulas worked out anew, and by a spreadsheet program
where there is one."""

from __future__ import annotations

import io
import math
import re
import shutil
import subprocess
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from hoggin.report.package.content import report
from hoggin.report.package.list_sheets import name_of
from hoggin.report.package.package import package
from hoggin.report.package.sheet import FIRST_ROW, letters
from hoggin.schema.results import Results

from .conftest import SAMPLES
from .evaluator import Evaluator

A3 = 8  # ECMA-376 part 1, 18.3.1.63 pageSetup: paperSize 8 is A3
SPREADSHEET = shutil.which("soffice")


@pytest.fixture(scope="session")
def books(packages: dict[str, dict[str, bytes]]) -> dict[str, Any]:
    return {
        name: openpyxl.load_workbook(io.BytesIO(made["workbook.xlsx"]))
        for name, made in packages.items()
    }


def cached(content: bytes) -> Any:
    return openpyxl.load_workbook(io.BytesIO(content), data_only=True)


def formulas(book: Any) -> list[tuple[str, str]]:
    return [
        (sheet.title, cell.coordinate)
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f"
    ]


def column(book: Any, sheet: str, heading: str, worked: Evaluator, lines: int) -> list[Any]:
    heads = [cell.value for cell in book[sheet][FIRST_ROW - 1]]
    letter = letters(heads.index(heading))
    rows = range(FIRST_ROW, FIRST_ROW + lines)
    return [worked.value(sheet, f"{letter}{row}") for row in rows]


@pytest.mark.slow
@pytest.mark.parametrize("sample", SAMPLES)
def test_each_formula_comes_to_the_value_it_carries(
    packages: dict[str, dict[str, bytes]], books: dict[str, Any], sample: str
) -> None:
    book, values = books[sample], cached(packages[sample]["workbook.xlsx"])
    worked = Evaluator(book)
    places = formulas(book)
    assert len(places) > 250
    for sheet, cell in places:
        carried = values[sheet][cell].value
        assert worked.value(sheet, cell) == pytest.approx(carried, rel=1e-9, abs=1e-9), (
            sheet,
            cell,
        )


@pytest.mark.slow
@pytest.mark.skipif(SPREADSHEET is None, reason="no spreadsheet program on this machine")
def test_a_spreadsheet_program_comes_to_the_same(
    packages: dict[str, dict[str, bytes]], tmp_path: Path
) -> None:
    """The values that formulas carry are taken out first, so that it has to work them out."""
    content = packages["example"]["workbook.xlsx"]
    bare = tmp_path / "bare.xlsx"
    with zipfile.ZipFile(io.BytesIO(content)) as book, zipfile.ZipFile(bare, "w") as stripped:
        for entry in book.infolist():
            text = book.read(entry)
            if "worksheets/sheet" in entry.filename:
                text = re.sub(rb"(</f>)<v>[^<]*</v>", rb"\1", text)
            stripped.writestr(entry, text)
    assert SPREADSHEET is not None
    profile = f"-env:UserInstallation=file://{tmp_path}/profile"
    command = [SPREADSHEET, "--headless", profile, "--convert-to", "xlsx", "--outdir"]
    subprocess.run(
        [*command, str(tmp_path / "out"), str(bare)], check=True, capture_output=True, timeout=120
    )
    theirs = cached((tmp_path / "out" / "bare.xlsx").read_bytes())
    ours = cached(content)
    for sheet, cell in formulas(openpyxl.load_workbook(io.BytesIO(content))):
        wanted = pytest.approx(ours[sheet][cell].value, rel=1e-9, abs=1e-9)
        assert theirs[sheet][cell].value == wanted, (sheet, cell)


@pytest.mark.slow
@pytest.mark.parametrize("sample", SAMPLES)
def test_the_sums_come_to_the_results(
    results: dict[str, Results], books: dict[str, Any], sample: str
) -> None:
    plain, book = results[sample], books[sample]
    worked = Evaluator(book)
    summary = [worked.value("Summary", f"B{row}") for row in range(4, 11)]
    made = math.fsum(product.rate_t_h for product in plain.products)
    assert summary[0] == pytest.approx(plain.feed_t_h)
    assert summary[1] == pytest.approx(made)
    assert summary[5] == pytest.approx(plain.power_kw)
    assert summary[6] == pytest.approx(plain.energy_kwh_t)

    products, machines = len(plain.products), len(plain.machines)
    rates = column(book, "Products", "rate (t/h)", worked, products)
    assert rates == pytest.approx([p.rate_t_h for p in plain.products])
    shares = column(book, "Products", "of feed (%)", worked, products)
    assert shares == pytest.approx([p.share_of_feed for p in plain.products])
    feeds = column(book, "Machines", "feed (t/h)", worked, machines)
    assert feeds == pytest.approx([m.feed_t_h for m in plain.machines])
    loads = column(book, "Machines", "load (%)", worked, machines)
    wanted = [m.load for m in plain.machines]
    assert [v for v in loads if v is not None] == pytest.approx(
        [v for v in wanted if v is not None]
    )


@pytest.mark.slow
def test_the_compiled_plant_closes_in_every_class_and_its_gradings_are_the_results(
    example: Results, books: dict[str, Any]
) -> None:
    """Mass is conserved, in all and, where no rock is broken, in every size class."""
    book = books["example"]
    worked = Evaluator(book)
    assert [worked.value("Summary", f"B{row}") for row in (6, 7, 8)] == [0.0, 0.0, 0.0]
    lines = len(example.streams)
    assert set(column(book, "Classes", "sum less rate (t/h)", worked, lines)) == {0.0}
    for place, product in enumerate(example.products):
        cells = (f"{letters(2 + at)}{FIRST_ROW + place}" for at in range(len(example.sieves_mm)))
        passing = [worked.value("Product gradings", cell) for cell in cells]
        assert passing == pytest.approx(product.passing, abs=1e-6)


@pytest.mark.slow
def test_crushers_move_rock_between_classes_and_lose_none(
    example: Results, books: dict[str, Any]
) -> None:
    book = books["example"]
    worked = Evaluator(book)
    for place, machine in enumerate(example.machines):
        row = FIRST_ROW + place
        classes = [
            worked.value("In less out", f"{letters(7 + at)}{row}")
            for at in range(len(example.sieves_mm) + 1)
        ]
        assert math.fsum(classes) == pytest.approx(0.0, abs=1e-4)
        moved = math.fsum(map(abs, classes))
        assert (moved > 1.0) == (machine.kind == "crusher"), machine.tag


def test_sums_follow_a_number_that_is_typed_over(
    example: Results, packages: dict[str, dict[str, bytes]]
) -> None:
    """10 t/h more into the chips: so much more of them, and their screen gives so much too much."""
    book = openpyxl.load_workbook(io.BytesIO(packages["example"]["workbook.xlsx"]))
    into = next(n for n, s in enumerate(example.streams) if s.target == "chips")
    chips = next(n for n, p in enumerate(example.products) if p.tag == "chips")
    cell = f"F{FIRST_ROW + into}"
    book["Streams"][cell] = book["Streams"][cell].value + 10.0
    worked = Evaluator(book)
    rate = worked.value("Products", f"D{FIRST_ROW + chips}")
    assert rate == pytest.approx(example.products[chips].rate_t_h + 10.0)
    assert worked.value("Summary", "B6") == pytest.approx(-10.0)
    source = next(
        n for n, m in enumerate(example.machines) if m.tag == example.streams[into].source
    )
    assert worked.value("In less out", f"F{FIRST_ROW + source}") == pytest.approx(-10.0)


def test_sums_follow_a_power_that_is_typed_over(
    example: Results, packages: dict[str, dict[str, bytes]]
) -> None:
    book = openpyxl.load_workbook(io.BytesIO(packages["example"]["workbook.xlsx"]))
    place = next(n for n, m in enumerate(example.machines) if m.power_kw is not None)
    book["Machines"][f"G{FIRST_ROW + place}"] = 1000.0
    drawn = example.power_kw - (example.machines[place].power_kw or 0.0) + 1000.0
    worked = Evaluator(book)
    assert worked.value("Summary", "B9") == pytest.approx(drawn)
    assert worked.value("Summary", "B10") == pytest.approx(drawn / example.feed_t_h)


@pytest.mark.slow
def test_names_that_differ_by_capitals_alone_are_kept_apart(example: Results) -> None:
    """`chips` and `Chips` are two products; a spreadsheet's search by text takes them for one."""

    def renamed(tag: str) -> str:
        return "Chips" if tag == "stone" else tag

    products = tuple(p.model_copy(update={"tag": renamed(p.tag)}) for p in example.products)
    streams = tuple(s.model_copy(update={"target": renamed(s.target)}) for s in example.streams)
    twins = example.model_copy(update={"products": products, "streams": streams})
    content = package(twins)["workbook.xlsx"]
    book = openpyxl.load_workbook(io.BytesIO(content))
    rates = column(book, "Products", "rate (t/h)", Evaluator(book), len(products))
    assert rates == pytest.approx([product.rate_t_h for product in products])


def test_words_are_never_formulas_or_links(
    results: dict[str, Results], books: dict[str, Any]
) -> None:
    said = set()
    for sheet in books["hostile"]:
        for row in sheet.iter_rows():
            for cell in row:
                assert cell.hyperlink is None
                if cell.data_type == "f":
                    assert re.fullmatch(r"=[A-Za-z0-9$!:,*/+()' =-]*", cell.value)
                    assert "HYPERLINK" not in cell.value
                elif isinstance(cell.value, str):
                    said.add(cell.value)
    assert '=HYPERLINK("http://x") <b>&amp; "quoted" \\N \\' in said
    assert report(results["hostile"]).title in said


@pytest.mark.parametrize("sample", SAMPLES)
def test_sheets_print_on_a3_landscape_with_their_headings(
    books: dict[str, Any], sample: str
) -> None:
    names = books[sample].sheetnames
    assert names[:3] == ["Front", "Summary", "Streams"]
    for sheet in books[sample]:
        assert sheet.page_setup.orientation == "landscape"
        assert int(sheet.page_setup.paperSize) == A3
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert "predictions for design" in sheet.oddFooter.left.text
        if sheet.title != "Front":
            assert sheet.print_title_rows in (f"${FIRST_ROW - 1}:${FIRST_ROW - 1}", "$1:$1")


def test_the_front_sheet_holds_title_block_revisions_and_cautions(
    example: Results, books: dict[str, Any]
) -> None:
    said = {cell.value for row in books["example"]["Front"].iter_rows() for cell in row}
    assert {example.project.client, example.project.document_number, example.title} <= said
    assert set(example.cautions) <= said


@pytest.mark.slow
def test_each_list_has_a_filter_and_a_unit_in_the_heading_of_every_number_that_has_one(
    example: Results, books: dict[str, Any]
) -> None:
    made = report(example)
    for table in (one for one in made.lists if one.rows):
        sheet = books["example"][name_of(table)]
        last = letters(len(table.columns) - 1)
        assert sheet.auto_filter.ref == f"A1:{last}{len(table.rows) + 1}"
        heads = [cell.value for cell in sheet[1]]
        for column, head in zip(table.columns, heads, strict=False):
            assert head == (f"{column.heading} ({column.unit})" if column.unit else column.heading)
    units = {column.unit for one in made.lists for column in one.columns if column.numeric}
    assert {"t/h", "t/y", "kW", "mm", "m2", "%"} <= units


def test_sums_name_the_unit_of_every_column_of_rates_and_shares(books: dict[str, Any]) -> None:
    for name in ("Streams", "Classes", "In less out", "Products", "Machines"):
        heads = [str(cell.value) for cell in books["example"][name][FIRST_ROW - 1] if cell.value]
        numbers = [head for head in heads if "(" in head]
        words = {"no.", "from no.", "to no.", "from", "to", "stream", "machine", "kind", "class"}
        words |= {"product", "title", "quantity"}
        assert numbers and set(heads) - set(numbers) <= words, name


def test_products_motors_and_gradings_have_a_chart_of_their_own_cells(
    books: dict[str, Any],
) -> None:
    charts = {sheet.title: sheet._charts for sheet in books["example"] if sheet._charts}
    assert set(charts) == {"Product list", "Motor list", "Gradings"}
    curves = charts["Gradings"][0]
    products = [cell.value for cell in books["example"]["Gradings"][1]][1:]
    assert len(curves.series) == len(products)
    assert curves.x_axis.scaling.logBase == 10
    assert (curves.y_axis.scaling.min, curves.y_axis.scaling.max) == (0, 1)
    bars = charts["Motor list"][0]
    assert len(bars.series) == 3
    for series in bars.series:  # without the row of sums
        last = int(series.val.numRef.f.rpartition("$")[2])
        assert books["example"]["Motor list"].cell(last + 1, 1).value == "all motors"
