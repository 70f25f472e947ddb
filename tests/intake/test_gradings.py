"""Sheets as laboratories lay them out. Every sheet is a scenario of our own, its truth by hand."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoggin.intake.reading import Forced
from tests.intake.making import Rows, Value, faults, gradings, read, sheet

PIT = {31.5: 100.0, 16.0: 80.0, 8.0: 50.0, 4.0: 30.0, 2.0: 10.0}
DUST = {31.5: 100.0, 16.0: 90.0, 8.0: 70.0, 4.0: 55.0, 2.0: 35.0}
BESIDE: Rows = [
    ["Sieve (mm)", "Pit run", "Dusty"],
    *([mm, PIT[mm], DUST[mm]] for mm in PIT),
]


def turned(rows: Rows) -> Rows:
    return [list(column) for column in zip(*rows, strict=True)]


@pytest.mark.parametrize("rows", [BESIDE, turned(BESIDE), [*BESIDE[:1], *BESIDE[:0:-1]]])
def test_samples_side_by_side_or_below_one_another(rows: Rows) -> None:
    assert gradings(rows) == {"Pit run": PIT, "Dusty": DUST}


def test_a_report_with_titles_blank_rows_dates_and_limits() -> None:
    rows: Rows = [
        ["Sieve analysis report"],
        [],
        ["Customer", "a scenario of our own"],
        ["Sample no.", None, "P 12", "P 13", None],
        ["Date", None, "2026-03-12", "2026-03-13", None],
        [],
        ["Sieve size [mm]", "ASTM", "Passing [%]", "Passing [%]", "Upper limit"],
        [31.5, "1 1/4 in", 100, 100, 100],
        [16, "5/8 in", 80, 90, 95],
        [],
        [8, "5/16 in", 50, 70, 80],
        [4, "No. 5", 30, 55, 60],
        [2, "No. 10", 10, 35, 40],
        ["Moisture (%)", None, 3.1, 2.9, None],
    ]
    found, reading = read(rows)
    assert reading.faults == []
    assert [(g.sample, g.date, g.name) for g in found] == [
        ("P 12", "2026-03-12", "p_12"),
        ("P 13", "2026-03-13", "p_13"),
    ]
    assert [dict(g.points) for g in found] == [PIT, DUST]
    told = "\n".join(reading.notes)
    assert "`Upper limit`" in told and "`Moisture (%)`" in told


def test_a_heading_may_span_the_sieves_across_their_row() -> None:
    rows: Rows = [
        [None, "Sieve size (mm)", None, None, None, None],
        ["Sample", *PIT],
        ["Pit run", *PIT.values()],
        ["Dusty", *DUST.values()],
    ]
    assert gradings(rows) == {"Pit run": PIT, "Dusty": DUST}


def test_a_second_list_of_other_sieves_is_refused() -> None:
    """Read by the first list, its sample would be coarser by a sieve."""
    other = {16.0: 100.0, 8.0: 70.0, 4.0: 55.0, 2.0: 35.0, 1.0: 20.0}
    rows: Rows = [
        ["Sieve (mm)", "Pit run", "Sieve (mm)", "Dusty"],
        *([*one, *two] for one, two in zip(PIT.items(), other.items(), strict=True)),
    ]
    _, reading = read(rows)
    assert "cell C2: a second list of sieves, with other sizes" in reading.report()


def test_a_second_list_of_the_same_sieves_does_no_harm() -> None:
    rows: Rows = [
        ["Sieve (mm)", "Pit run", "Sieve (µm)", "Dusty"],
        *([mm, PIT[mm], 1000 * mm, DUST[mm]] for mm in PIT),
    ]
    assert gradings(rows) == {"Pit run": PIT, "Dusty": DUST}


def test_a_second_table_below_the_first_is_refused_once() -> None:
    _, reading = read([*BESIDE, ["Sample", "South"], *BESIDE])
    (fault,) = reading.faults
    assert "cell A8: `Sieve (mm)`: a second table begins here" in fault
    assert gradings([*BESIDE, ["Maximum size", 31.5]]) == {"Pit run": PIT, "Dusty": DUST}


@pytest.mark.parametrize("heading", ["Mesh", "Mesh size", "US mesh"])
def test_a_mesh_without_a_unit_is_asked_for(heading: str) -> None:
    rows: Rows = [[heading, "% retained"], [10, 0], [20, 40], [100, 52], ["Pan", 8]]
    assert "cell A2: `10`: a mesh may be an opening, or a count" in read(rows)[1].report()
    opening: Rows = [["Mesh (mm)", "Pit run"], *([mm, PIT[mm]] for mm in PIT)]
    assert gradings(opening) == {"Pit run": PIT}
    bare: Rows = [["Mesh", "Pit run"], *opening[1:]]
    assert gradings(bare, Forced(unit="mm")) == {"Pit run": PIT}


@pytest.mark.parametrize("heading", ["Fraction", "Sieve (mm)"])
def test_ranges_of_sizes_are_told_at_their_cell(heading: str) -> None:
    rows: Rows = [[heading, "Share"], ["31.5/63", 12], ["16/31.5", 30], ["0/16", 58]]
    assert "cell A2: `31.5/63`: this names two sizes" in read(rows)[1].report()


def test_a_sheet_of_masses_of_one_sample_with_its_other_columns() -> None:
    """5000 g by hand: 0, 1000, 1500, 1000, 1000 g on the sieves, 500 g in the pan."""
    rows: Rows = [
        ["Sample:", "P 12"],
        ["Total dry mass (g):", 5000],
        ["Sieve (mm)", "Mass retained (g)", "Retained (%)", "Cumulative retained (%)"],
        [31.5, 0, 0, 0],
        [16, 1000, 20, 20],
        [8, 1500, 30, 50],
        [4, 1000, 20, 70],
        [2, 1000, 20, 90],
        ["Pan", 500, 10, 100],
        ["Total", 5000, 100, None],
    ]
    assert gradings(rows) == {"P 12": PIT}
    for figures in ("mass", "retained", "cumulative"):
        (found,) = gradings(rows, Forced(figures=figures)).values()
        assert found == pytest.approx(PIT)


def test_columns_of_one_sample_that_disagree_are_refused() -> None:
    rows: Rows = [
        ["Sieve (mm)", "Retained (%)", "Passing (%)"],
        [16, 0, 100],
        [8, 25, 75],
        [4, 35, 60],
        [2, 30, 10],
    ]
    told = faults(rows)
    assert "cell C4" in told and "60 % passes 4 mm" in told and "40 %" in told and "B4" in told
    assert gradings(rows, Forced(figures="passing"))[""][4.0] == 60.0


def test_masses_in_kilograms_with_a_total_in_grams() -> None:
    rows: Rows = [
        ["Dry mass of sample, g", 2000],
        ["Sieve, mm", "Mass on sieve (kg)"],
        *([mm, kg] for mm, kg in ((16, 0.0), (8, 0.5), (4, 0.7), (2, 0.6))),
        ["pan", 0.2],
    ]
    assert gradings(rows)[""] == pytest.approx({16.0: 100.0, 8.0: 75.0, 4.0: 40.0, 2.0: 10.0})


def test_what_was_washed_out_belongs_to_the_fines() -> None:
    rows: Rows = [
        ["Sieve, mm", "Mass retained (g)"],
        *([mm, g] for mm, g in ((16, 0), (8, 500), (4, 700), (2, 600))),
        ["Washed out", 150],
        ["pan", 50],
    ]
    assert gradings(rows)[""] == pytest.approx({16.0: 100.0, 8.0: 75.0, 4.0: 40.0, 2.0: 10.0})


def test_without_headings_figures_are_taken_by_their_look_and_that_is_told() -> None:
    sizes = [16, 8, 4, 2]
    for values, word in (
        ([100, 75, 40, 10], "passing"),
        ([0, 25, 60, 90], "cumulative"),
        ([0, 35, 25, 40], "retained on each"),
    ):
        rows: Rows = [["Sieve (mm)", "A"], *([mm, v] for mm, v in zip(sizes, values, strict=True))]
        found, reading = read(rows)
        assert len(found) == 1
        assert any("from their pattern" in note and word in note for note in reading.notes)


def test_figures_that_might_be_anything_are_asked_for() -> None:
    rows: Rows = [["Sieve (mm)", "A"], [16, 12], [8, 40], [4, 33]]
    assert "cell B2: the sheet does not say what these values are" in faults(rows)
    rows = [["Sieve (mm)", "A"], [16, 0], [8, 25], [4, 35], [2, 40]]  # sums to 100, and rises
    assert "does not say" in faults(rows)


def test_fractions_are_told_from_per_cent() -> None:
    rows: Rows = [["Sieve (mm)", "Passing"], [16, 1], [8, 0.75], [4, 0.4]]
    found, reading = read(rows)
    assert found[0].points == ((16.0, 100.0), (8.0, 75.0), (4.0, 40.0))
    assert any("fractions" in note for note in reading.notes)
    assert "passes 1 %" in faults(rows, Forced(scale="percent"))


def test_a_missing_top_size_is_asked_for_and_can_be_given() -> None:
    rows: Rows = [["Sieve (mm)", "Passing (%)"], [63, 92], [16, 40], [4, 12]]
    assert "cell B2" in faults(rows) and "--top-size" in faults(rows)
    assert gradings(rows, Forced(top_mm=125.0))[""] == {125: 100, 63: 92, 16: 40, 4: 12}


def test_all_faults_come_in_one_run_each_at_its_cell() -> None:
    rows: Rows = [
        ["Sieve (mm)", "A passing (%)", "B passing (%)", "C passing (%)"],
        [31.5, 100, 100, 100],
        ["16 nm", 80, 90, 90],
        [8, "5O", 70, 70],
        [4, 30, "-", 75],
        [2, 10, 35, 30],
    ]
    told = faults(rows)
    for cell in ("A3", "B4", "C5", "D5"):
        assert f"lab.xlsx, sheet Gradings, cell {cell}: " in told
    assert told.endswith("4 errors; nothing was written\n")
    assert "    4 | 8 | 5O | 70 | 70" in told
    assert "      |     ^^" in told


def test_a_sieve_that_stands_twice_is_refused() -> None:
    rows: Rows = [["Sieve (mm)", "Passing (%)"], [16, 100], [8, 60], [8, 55], [4, 20]]
    assert "cell B4" in faults(rows) and "twice, first in B3" in faults(rows)


def test_sieves_in_inches_and_numbers() -> None:
    rows: Rows = [
        ["Sieve", "Passing (%)"],
        ['1 1/2"', 100],
        ["3/4 in", 60],
        ["No. 4", 12.5],
        ["#200", 1.2],
    ]
    assert gradings(rows)[""] == {37.5: 100, 19.0: 60, 4.75: 12.5, 0.075: 1.2}


def test_a_bare_size_too_large_for_mm_asks_for_its_unit() -> None:
    rows: Rows = [["Sieve", "Passing (%)"], [4000, 100], [500, 40], [63, 4]]
    assert "--unit um" in faults(rows)
    assert gradings(rows, Forced(unit="um"))[""] == {4.0: 100, 0.5: 40, 0.063: 4}


def test_names_are_made_safe_and_unique() -> None:
    rows: Rows = [
        ["Sieve (mm)", "0/16 crushed", "Grube Süd", "карьер", "Grube Sud", "a\x1b[31m"],
        [16, *[100] * 5],
        [4, *[20] * 5],
    ]
    found, reading = read(rows)
    assert [g.name for g in found] == [
        "sample_0_16_crushed",
        "grube_sud",
        "sample_3",
        "grube_sud_2",
        "a_31m",
    ]
    assert any("`sample_3`" in note for note in reading.notes)
    assert all(note.isprintable() for note in reading.notes)


def test_two_dates_of_one_place_are_two_samples() -> None:
    rows: Rows = [
        ["Sample", "Belt 3", "Belt 3"],
        ["Date", "2026-03-01", "2026-03-02"],
        ["Sieve (mm)", "Passing (%)", "Passing (%)"],
        [16, 100, 100],
        [4, 20, 30],
    ]
    found, _ = read(rows)
    assert [g.name for g in found] == ["belt_3_2026_03_01", "belt_3_2026_03_02"]


WORDS = ["Sieve (mm)", "Passing (%)", "Sample", "Pan", "Total", "Mass (g)", "4 mm", "No. 4", "16"]
CELLS = st.one_of(
    st.none(),
    st.sampled_from(WORDS),
    st.text(max_size=12),
    st.floats(allow_nan=False, allow_infinity=False),
    st.integers(-10, 200),
)


@pytest.mark.slow
@settings(max_examples=60, deadline=None)
@given(st.lists(st.lists(CELLS, min_size=1, max_size=6), min_size=1, max_size=10))
def test_any_cells_give_gradings_or_faults(rows: list[list[Value]]) -> None:
    found, reading = read(rows)
    assert bool(found) != bool(reading.faults)
    assert "\x1b" not in reading.report()


@pytest.mark.slow
@settings(max_examples=50, deadline=None)
@given(st.data())
def test_a_good_sheet_with_one_cell_spoilt_gives_gradings_or_faults(data: st.DataObject) -> None:
    rows: list[list[Value]] = [list(row) for row in BESIDE]
    row = data.draw(st.integers(0, len(rows) - 1))
    column = data.draw(st.integers(0, 2))
    rows[row][column] = data.draw(CELLS)
    found, reading = read(rows)
    assert bool(found) != bool(reading.faults)


def test_a_sheet_turned_over_keeps_the_places_of_its_cells() -> None:
    made = sheet(BESIDE)
    assert made.turned().rows[1][0].place == "B1"
    assert [cell.place for cell in made.turned().row_as_written(2)] == ["A2", "B2", "C2"]
