"""Equal machines in parallel on documents: flowsheet, schedule, motors, workbook."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from hoggin.balance import balance
from hoggin.check.checker import check_file
from hoggin.rating.rate import rate
from hoggin.report import energy, equipment, flowsheet
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
    boxes = {m.tag: flowsheet.machine_box(twins, m) for m in twins.machines}
    assert boxes["fine.cone"].rows[0] == "2 x our_cone"
    assert boxes["fine.cone"].several and not boxes["secondary"].several
    dot = flowsheet.dot(twins)
    assert dot.count('SIDES="BR"') == sum(machine.count > 1 for machine in twins.machines)
    assert "Second edge at right and foot" in dot
    assert flowsheet.svg(dot).startswith(b"<?xml")


def test_the_workbook_has_their_quantity(twins: Results) -> None:
    machines = next(sheet for sheet in sheets(twins) if sheet.title == "Machines")
    place = machines.place("quantity")
    assert {row[1]: row[place] for row in machines.rows}["fine.cone"] == 2
    assert {len(row) for row in machines.rows} == {len(machines.fields)}
