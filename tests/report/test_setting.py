"""The settings section of the equipment schedule, as each document shows it."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from hoggin.balance import balance
from hoggin.check.checker import check_file
from hoggin.rating.rate import rate
from hoggin.report import setting
from hoggin.report.documents import documents
from hoggin.schema.results import Results
from tests.report.shown import schedule_text

EXAMPLE = Path(__file__).parents[2] / "examples" / "cones.hog"


@pytest.fixture(scope="module")
def results() -> Results:
    checked = check_file(EXAMPLE)
    assert checked.plant is not None
    return rate(checked.plant, balance(checked.plant), "examples/cones.hog")


def test_every_cone_has_a_row_with_its_position_and_its_liners(results: Results) -> None:
    """By hand for the slow tertiary machine: 18 mm / sin 50 deg = 23.5 mm, at 13 mm a turn 1 turn
    and 58 of 72 teeth."""
    rows = {str(row[0]): row for row in setting.settings(results).rows}
    assert set(rows) == {m.tag for m in results.machines if m.kind == "crusher"}
    slow = rows["slow_tertiary"]
    assert slow[2] == "bowl up"
    assert slow[3] == pytest.approx(23.5, abs=0.05)
    assert slow[5] == "1 turn and 58 of 72 teeth"
    assert slow[7] == "coarse tertiary bowl liner and mantle"
    shaft = rows["shaft"]
    assert (shaft[2], shaft[4], shaft[5]) == ("shaft down", None, None)


@pytest.mark.slow
def test_terminal_and_markdown_show_it_with_what_it_is_counted_from(results: Results) -> None:
    shown = schedule_text(results)
    written = documents(results)["equipment.md"].decode()
    for text in (shown, written):
        assert "touching" in text and "check them on the machine" in " ".join(text.split())
        assert "coarse tertiary bowl liner and mantle" in " ".join(text.split())
    assert "CRUSHER SETTINGS" in shown and "Crusher settings" in written


@pytest.mark.slow
def test_the_workbook_holds_numbers_a_reader_can_reckon_with(results: Results) -> None:
    """Read back by openpyxl: css over travel is the sine of the class's angle (plane geometry)."""
    openpyxl = pytest.importorskip("openpyxl")
    book = openpyxl.load_workbook(io.BytesIO(documents(results)["equipment.xlsx"]))
    cells = list(book["Crusher settings"].iter_rows(values_only=True))
    head = next(i for i, row in enumerate(cells) if row[0] == "tag")
    css, travel = (
        next(i for i, name in enumerate(cells[head]) if name and str(name).startswith(word))
        for word in ("css", "travel")
    )
    rows = {row[0]: row for row in cells[head + 1 :]}
    assert rows["shaft"][css] / rows["shaft"][travel] == pytest.approx(0.6157, abs=1e-3)  # sin 38
    assert rows["high"][css] / rows["high"][travel] == pytest.approx(0.7071, abs=1e-3)  # sin 45


def test_a_plant_without_cones_has_no_such_section(results: Results) -> None:
    bare = results.model_copy(update={"machines": ()})
    assert setting.sections(bare) == ()
