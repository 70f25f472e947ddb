"""Equal machines in parallel on documents: flowsheet, schedule, motors, workbook."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from hoggin.balance import balance
from hoggin.check.checker import check_file
from hoggin.rating.rate import rate
from hoggin.report import energy, equipment
from hoggin.report.drawing.layout import diagrams
from hoggin.report.drawing.model import Use, Words
from hoggin.report.drawing.sheet import drawing
from hoggin.report.package.sums import sheets
from hoggin.report.tables import Table
from hoggin.schema.results import Results

EXAMPLES = Path(__file__).parents[2] / "examples"


def rated(name: str) -> Results:
    checked = check_file(EXAMPLES / name)
    assert checked.plant is not None
    return rate(checked.plant, balance(checked.plant), checked.source.name)


@pytest.fixture(scope="module")
def twins() -> Results:
    return rated("twins.hog")


def column(table: Table, heading: str) -> dict[Any, Any]:
    place = [one.heading for one in table.columns].index(heading)
    return {row[0]: row[place] for row in table.rows}


@pytest.mark.slow
def test_the_schedule_has_the_quantity_of_each(twins: Results) -> None:
    found = column(equipment.machines(twins), "quantity")
    assert (found["reclaim"], found["secondary"], found["fine.cone"]) == (2, 1, 2)


def test_motors_are_counted_and_each_is_sized_by_itself(twins: Results) -> None:
    power = energy.power(twins)
    quantity, motors = column(power, "quantity"), column(power, "motor")
    assert quantity["all of these"] == sum(m.count for m in twins.machines if m.drive)
    cone = next(m for m in twins.machines if m.tag == "fine.cone")
    assert cone.installed_power_kw is not None
    assert motors["fine.cone"] == pytest.approx(cone.installed_power_kw / 2)
    assert column(power, "drawn")["all of these"] == pytest.approx(twins.power_kw)
    assert column(power, "connected")["all of these"] == pytest.approx(twins.installed_power_kw)
    assert column(power, "demand")["all of these"] == pytest.approx(twins.demand_kw)


def test_a_plant_of_single_machines_has_no_such_column() -> None:
    headings = [one.heading for one in equipment.machines(rated("gravel.hog")).columns]
    assert "quantity" not in headings


def test_the_flowsheet_draws_them_one_behind_the_other(twins: Results) -> None:
    found = diagrams(twins)
    items = [item for sheet in drawing(twins, found).sheets for item in sheet.items]
    for machine in twins.machines:
        uses = [i for i in items if isinstance(i, Use) and i.of == f"machine {machine.tag}"]
        assert len(uses) == (2 if machine.count > 1 else 1), machine.tag
    said = {(i.of, i.text) for i in items if isinstance(i, Words)}
    assert ("machine fine.cone", "2 x our cone crusher") in said
    assert ("", "equal machines in parallel") in said


def test_the_workbook_has_their_quantity(twins: Results) -> None:
    machines = next(sheet for sheet in sheets(twins) if sheet.title == "Machines")
    place = machines.place("quantity")
    assert {row[1]: row[place] for row in machines.rows}["fine.cone"] == 2
    assert {len(row) for row in machines.rows} == {len(machines.fields)}
