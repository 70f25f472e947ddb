"""What the report says, held against sums by hand of the results."""

from __future__ import annotations

import math
from collections.abc import Iterable

import pytest

from hoggin.report.package import basis, front, lists
from hoggin.report.package.content import Chapter, Report, report
from hoggin.report.package.data_sheet import TELLS, data_sheets, gradings, telling, together
from hoggin.report.tables import Section, Table
from hoggin.schema.kinds import DRIVEN, KINDS
from hoggin.schema.results import Results


@pytest.fixture(scope="module")
def made(example: Results) -> Report:
    return report(example)


def chapter(made: Report, heading: str) -> Chapter:
    return next(one for one in made.chapters if one.heading == heading)


def column(table: Table, heading: str) -> list[object]:
    place = [one.heading for one in table.columns].index(heading)
    return [row[place] for row in table.rows]


def table_of(sections: Iterable[Section], heading: str) -> Table:
    found = next(one.table for one in sections if one.heading == heading)
    assert isinstance(found, Table)
    return found


@pytest.mark.slow
def test_a_product_makes_its_rate_times_the_hours_of_the_year(example: Results) -> None:
    """450 t/h for 2200 h a year, all of it running."""
    table = front.products(example)
    rates, yearly = column(table, "rate"), column(table, "a year")
    assert example.plant is not None and example.plant.hours_per_year == 2200.0
    assert yearly == pytest.approx([2200.0 * float(str(rate)) for rate in rates])
    assert math.fsum(float(str(t)) for t in yearly) == pytest.approx(450.0 * 2200.0)


def test_the_motor_list_has_all_that_turns_and_its_sums(example: Results) -> None:
    listed, *_ = lists.motors(example)
    assert listed.table is not None
    *rows, total = listed.table.rows
    turning = [machine for machine in example.machines if machine.kind in DRIVEN]
    assert {"feeder", "screen", "crusher"} <= {machine.kind for machine in turning}
    assert [row[0] for row in rows] == [machine.shown_tag for machine in turning]
    assert total[0] == "all motors"
    connected = math.fsum(
        m.drive.motor_kw * m.count for m in turning if m.drive and m.drive.motor_kw
    )
    sums = dict(zip([one.heading for one in listed.table.columns], total, strict=True))
    assert sums["motors"] == sum(machine.count for machine in turning)
    assert sums["connected"] == pytest.approx(connected)
    assert sums["connected"] == pytest.approx(example.installed_power_kw)
    assert sums["drawn"] == pytest.approx(example.power_kw)
    assert sums["demand"] == pytest.approx(example.demand_kw)
    # a motor takes more from the supply than it gives at the shaft
    assert float(str(sums["drawn"])) < float(str(sums["demand"])) < float(str(sums["connected"]))


def test_the_equipment_list_has_every_machine_but_points_with_its_size(example: Results) -> None:
    table = lists.equipment(example).table
    assert table is not None
    tags = [m.shown_tag for m in example.machines if not KINDS[m.kind].point]
    assert column(table, "tag") == tags
    size = dict(zip(column(table, "tag"), column(table, "size"), strict=True))
    assert size["20-CR-201"] == "head 1850 mm"  # not its setting, which is set later
    assert size["10-SC-101"] == "width 1.8 m, length 3 m"
    supply = dict(zip(column(table, "tag"), column(table, "supply"), strict=True))
    assert supply["10-CR-101"] == "existing" and supply["20-CR-201"] == "new"
    duty = dict(zip(column(table, "tag"), column(table, "duty"), strict=True))
    assert duty["20-CR-201"] == "secondary"


def test_the_media_list_has_every_deck_with_its_opening_and_area(example: Results) -> None:
    (section,) = lists.media(example)
    assert section.table is not None
    decks = [deck for machine in example.machines for deck in machine.decks]
    assert column(section.table, "aperture") == [deck.aperture_mm for deck in decks]
    areas = dict(
        zip(column(section.table, "deck"), column(section.table, "area of each"), strict=True)
    )
    assert areas["10-SC-101.top"] == pytest.approx(1.8 * 3.0)
    assert areas["20-SC-201.top"] == pytest.approx(3.0 * 7.8)
    assert set(column(section.table, "wire or panel")) == {""}


def test_the_design_basis_states_rock_feed_and_hours(example: Results) -> None:
    sections = basis.sections(example)
    duty = {str(row[0]): str(row[1]) for row in table_of(sections, "Duty").rows}
    assert duty["hours manned"] == "2200 h a year"
    assert duty["fed in a year"] == "990000 t/y"
    rock = table_of(sections, "Rock")
    assert set(column(rock, "figure")) >= {"work index", "abrasion index", "moisture"}
    grading = table_of(sections, "Feed grading, as stated")
    assert column(grading, "sieve") == [800.0, 600.0, 400.0, 250.0, 125.0, 63.0, 20.0, 4.0, 0.5]
    assert column(grading, "passing") == pytest.approx(
        [1.0, 0.93, 0.76, 0.56, 0.36, 0.23, 0.11, 0.04, 0.015]
    )


def test_each_method_in_use_has_one_row_with_its_source(example: Results) -> None:
    table = basis.methods(example)
    assert example.plant is not None
    used = {(role, u.model) for m in example.plant.machines for role, u in m.models.items()}
    assert len(table.rows) == len(used)
    assert all(column(table, "source"))
    on = {(row[0], row[1]): str(row[4]) for row in table.rows}
    assert on["power", "bond"].split(", ") == ["10-CR-101", "20-CR-201", "30-CR-301"]


def test_a_coefficient_that_classes_share_has_one_row_with_its_source(example: Results) -> None:
    table = basis.coefficients(example)
    rows = [tuple(map(str, row[:3])) for row in table.rows]
    assert len(set(rows)) == len(rows)
    shared = {row[:3]: row[3] for row in table.rows}
    fill = next(
        key for key in shared if key[0] == "breakage matrix.coarse exponent" and key[1] == "4"
    )
    assert shared[fill] == "cones.high_speed, cones.supported_shaft"
    assert all(column(table, "source"))


@pytest.mark.slow
def test_a_plant_without_a_near_limit_says_so_once_and_its_cautions_once(made: Report) -> None:
    attention = next(one for one in made.front if one.heading.startswith("Over a limit"))
    assert attention.notes == ("Nothing: 65 limits are checked, none is near.",)
    assert [one.heading for one in made.chapters if one.cautions] == ["Equipment"]
    verdicts = chapter(made, "Verdicts")
    ok = [row for one in verdicts.sections if one.table for row in one.table.rows if "ok" in row]
    assert ok == []


def test_no_column_of_a_chapter_is_empty(made: Report) -> None:
    for one in made.chapters:
        for section in one.sections:
            if section.table is not None and section.table.rows:
                for place, named in enumerate(section.table.columns):
                    cells = [row[place] for row in section.table.rows]
                    assert place < section.table.keys or any(c is not None for c in cells), named


def test_a_data_sheet_has_the_feed_that_the_balance_brings(example: Results) -> None:
    """Two streams enter the sorting screen: their gradings meet by their rates."""
    sorting = next(machine for machine in example.machines if machine.tag == "sorting")
    entering = [stream for stream in example.streams if stream.target == "sorting"]
    assert len(entering) == 2
    table = gradings(sorting, example)
    assert [one.heading for one in table.columns] == [
        "sieve",
        "feed",
        "top.over",
        "bottom.over",
        "under",
    ]
    rate = math.fsum(stream.rate_t_h for stream in entering)
    for size, passing in zip(column(table, "sieve"), column(table, "feed"), strict=True):
        place = example.sieves_mm.index(float(str(size)))
        mixed = math.fsum(s.rate_t_h * s.passing[place] for s in entering) / rate
        assert passing == pytest.approx(mixed)


def test_data_sheets_are_for_every_machine_of_a_class_and_blanks_for_new_ones(
    example: Results,
) -> None:
    listed = [machine for machine in example.machines if KINDS[machine.kind].has_class]
    sheets = data_sheets(example)
    assert len(sheets) == len(listed)
    for machine, sheet in zip(listed, sheets, strict=True):
        assert sheet.title.startswith(machine.shown_tag)
        headings = [section.heading for section in sheet.sections]
        assert ("To be filled in by the bidder" in headings) != machine.existing


def test_sieves_that_tell_nothing_are_left_out() -> None:
    curve = (1.0, 1.0, 0.5, 0.1, 0.0, 0.0)
    assert telling((curve,), len(curve)) == (1, 2, 3)
    assert telling(((1.0, 1.0),), 2) == ()
    assert all(0.0 < end < 1.0 for end in TELLS)


def test_nothing_that_meets_has_no_grading() -> None:
    assert together(()) is None
