"""Tables of machine classes as the checker reads them. Every table is invented."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.balance.numbers import skeleton
from hoggin.check.checker import Checked, check_file
from hoggin.studies.uncertainty.limits import ranges

TABLE = """
use std.jaws
class crusher table_jaw: jaws.single_toggle {
  about "Jaw by a table"
  model breakage: table {
    css css
    feed_top 500 mm
    passing {
      ROWS
    }
  }
}
"""
NARROW = "40 mm: { 63 mm: 100 %, 40 mm: 84 %, 10 mm: 26 % }"
WIDE = "60 mm: { 90 mm: 100 %, 63 mm: 84 %, 40 mm: 56 %, 10 mm: 17 % }"
PLANT = """
class crusher ours: table_jaw { about "Ours"; OWN }
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }
plant "One jaw, a scenario of our own" {
  sieves { 90 mm, 63 mm, 40 mm, 10 mm }
  feed face { rock rock; rate 60 t/h; passing { 480 mm: 100 %, 200 mm: 50 %, 10 mm: 5 % } }
  crusher jaw: ours(gape: 600 mm, width: 900 mm) { css CSS }
  face -> jaw -> product all
}
"""


def check(folder: Path, *rows: str, css: str = "50 mm", own: str = "") -> Checked:
    file = folder / "plant.hog"
    text = TABLE.replace("ROWS", "\n".join(rows)) + PLANT.replace("CSS", css).replace("OWN", own)
    file.write_text(text)
    return check_file(file)


def faults(checked: Checked) -> list[str]:
    return [one.code for one in checked.diagnostics]


def test_rows_and_sizes_may_be_in_any_order(tmp_path: Path) -> None:
    turned = "60 mm: { 10 mm: 17 %, 40 mm: 56 %, 90 mm: 100 %, 63 mm: 84 % }"
    one, other = check(tmp_path, NARROW, WIDE).plant, check(tmp_path, turned, NARROW).plant
    assert one is not None and other is not None
    assert one.machines[0].models == other.machines[0].models
    assert one.classes == other.classes


def test_a_class_that_extends_one_with_a_table_has_its_table_or_its_own(tmp_path: Path) -> None:
    inherited = check(tmp_path, NARROW, WIDE).plant
    own = "model breakage: table { passing { 50 mm: { 70 mm: 100 %, 50 mm: 80 % } } }"
    replaced = check(tmp_path, NARROW, WIDE, own=own).plant
    assert inherited is not None and replaced is not None
    rows = [plant.machines[0].models["breakage"].table for plant in (inherited, replaced)]
    assert [[row.setting_mm for row in table] for table in rows] == [[40.0, 60.0], [50.0]]
    assert rows[1][0].points == ((70.0, 1.0), (50.0, 0.8))


def test_a_record_of_the_class_has_a_line_for_each_row(tmp_path: Path) -> None:
    plant = check(tmp_path, NARROW, WIDE).plant
    assert plant is not None
    lines = plant.classes[0].lines
    assert "84 %" in lines["breakage table.passing 40 mm"]
    assert "56 %" in lines["breakage table.passing 60 mm"]


@pytest.mark.parametrize(
    ("css", "codes"),
    [
        ("40 mm", []),
        ("60 mm", []),
        ("39.9 mm", ["E0606"]),
        ("60.1 mm", ["E0606"]),
        ("free(40 mm to 60 mm)", []),
        ("free(45 mm to 61 mm)", ["E0606"]),
        ("any(45 mm, 61 mm)", ["E0606"]),
    ],
)
def test_a_setting_has_to_be_within_the_table(tmp_path: Path, css: str, codes: list[str]) -> None:
    assert faults(check(tmp_path, NARROW, WIDE, css=css)) == codes


def test_a_machine_on_another_model_may_be_set_beyond_the_table(tmp_path: Path) -> None:
    checked = check(tmp_path, NARROW, WIDE, css="70 mm; model breakage: matrix")
    assert faults(checked) == []


def test_an_uncertain_setting_is_held_to_the_table(tmp_path: Path) -> None:
    checked = check(tmp_path, NARROW, WIDE, css="normal(50 mm, 6 mm)")
    assert checked.freedom is not None
    found = ranges(checked.freedom)["jaw.css"]
    assert (found.low, found.high) == pytest.approx((0.040, 0.060))


def test_plants_with_different_tables_are_not_cases_of_one_batch(tmp_path: Path) -> None:
    one = check(tmp_path, NARROW, WIDE).plant
    other = check(tmp_path, NARROW.replace("26", "24"), WIDE).plant
    set_otherwise = check(tmp_path, NARROW, WIDE, css="55 mm").plant
    assert one is not None and other is not None and set_otherwise is not None
    assert skeleton(one) == skeleton(set_otherwise)
    assert skeleton(one) != skeleton(other)
