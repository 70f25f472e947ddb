"""A plant over time in tables and in a plot: what is said is the result's own."""

from __future__ import annotations

import csv
import io
import json
import re
from xml.etree import ElementTree

import pytest

from hoggin.report import operation, text
from hoggin.report.operation_plot import plot
from hoggin.report.results_json import found_json
from hoggin.studies.simulate.document import STATES, Operation
from hoggin.studies.simulate.operate import Question, operated
from tests.studies.simulate.sample import documented, rated, small


def run(source: str, asked: str, runs: int = 20) -> Operation:
    plant, results = rated(source)
    return operated(plant, results, Question(asked, runs=runs))


@pytest.fixture(scope="module")
def week() -> Operation:
    return run(documented(), "1 week")


@pytest.mark.slow
def test_the_document_names_products_sections_stores_causes_and_cautions(week: Operation) -> None:
    said = text.terminal(operation.document(week), 200)
    for word in ("ballast", "chips", "sand", "surge", "secondary", "bottleneck", *STATES[1:]):
        assert word in said.replace("\n", " ") or word.split()[0] in said
    assert "Lock out" in said and "stockpile" in said and "not guarantees" in said
    assert "P10" in said and "P90" in said


def test_hours_in_a_row_add_up_to_those_of_the_run(week: Operation) -> None:
    for row in operation.sections_hours(week).rows:
        hours = [float(str(row[3])), *(float(str(cell)) for cell in row[5 : 5 + len(STATES) - 1])]
        assert sum(hours) == pytest.approx(80, abs=0.4)  # each is rounded to a tenth


def test_levels_for_a_spreadsheet_are_ordered_and_within_the_store(week: Operation) -> None:
    rows = list(csv.reader(io.StringIO(text.comma_separated(operation.levels(week)))))
    assert len(rows) == 1 + len(week.hours_at)
    for row in rows[1:]:
        p10, p50, p90 = map(float, row[1:4])
        assert 0 <= p10 <= p50 <= p90 <= 4000


def test_the_json_is_the_result(week: Operation) -> None:
    found = json.loads(found_json(week))
    assert found["hours"] == 80 and found["runs"] == 20
    assert found["made_t"]["mean"] == pytest.approx(week.made_t.mean, rel=1e-6)


def test_the_plot_is_sound_and_draws_the_level_to_scale() -> None:
    """By hand: 500 t of 1000 t at the start, half the live height; 100 t/h for 5 h fill it."""
    found = run(
        small(
            "blend one\nblend two { operation { maintenance { 1 h: 0.99 h } } }\n"
            "stockpile s { live 1000 t }\n"
            "f -> one -> s -> two -> product p"
        ).replace("maintenance { 1 h: 0.99 h }", "pace 5 %"),
        "4 h",
    )
    drawing = plot(found)
    ElementTree.fromstring(drawing)
    line = re.search(r'class="series" d="M([\d., L]+)"', drawing)
    full = re.search(r'class="limit" d="M[\d.]+,([\d.]+) ', drawing)
    foot = re.search(r'class="frame-edge" x="[\d.]+" y="([\d.]+)".* height="(150.00)"', drawing)
    assert line and full and foot
    bottom = float(foot[1]) + float(foot[2])
    live = bottom - float(full[1])
    heights = [bottom - float(point.split(",")[1]) for point in line[1].split(" L")]
    assert heights[0] / live == pytest.approx(0.5, abs=1e-3)
    assert heights[-1] / live == pytest.approx(0.5 + 4 * 0.095, abs=1e-3)


@pytest.mark.slow
def test_many_events_stand_as_shares_of_the_hours(week: Operation) -> None:
    assert "State of the sections" in plot(week)
    assert "Shares of the hours" in plot(run(documented(), "10 weeks", runs=3))


@pytest.mark.slow
def test_the_same_result_gives_the_same_bytes(week: Operation) -> None:
    assert plot(week) == plot(run(documented(), "1 week"))


def test_a_plant_without_stores_has_a_plot_of_its_sections() -> None:
    found = run(
        small("blend m { operation { availability 90 %; repair 1 h } }\nf -> m -> product p"), "8 h"
    )
    ElementTree.fromstring(plot(found))
    assert not found.stores and "Stores" not in text.markdown(operation.document(found))


def test_names_are_escaped_in_the_plot() -> None:
    source = small("f -> product p").replace('plant "small"', 'plant "a <b> & c"')
    assert "a &lt;b&gt; &amp; c" in plot(run(source, "8 h"))
