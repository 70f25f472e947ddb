"""Whole drawings of the examples, as they are laid out: everything is on a sheet, and on each sheet
the diagram and its tables say the same."""

from __future__ import annotations

from itertools import combinations

import pytest

import hoggin
from hoggin.report.drawing.diagram import Diagram
from hoggin.report.drawing.equipment_list import equipment_of
from hoggin.report.drawing.layout import diagrams
from hoggin.report.drawing.model import Drawing, Use, Words
from hoggin.report.drawing.sheet import drawing, planned
from hoggin.report.wording import clean
from hoggin.schema.results import Results

from .sample import EXAMPLES, hostile, plant

PLANTS = [
    "quarry",
    "sand",
    "twins",
    "cookbook/fines_crushing",
    "cookbook/parallel_lines",
]
HOSTILE_PLANT = "hostile"


@pytest.fixture(scope="module", params=[*PLANTS, HOSTILE_PLANT])
def results(request: pytest.FixtureRequest) -> Results:
    if request.param == HOSTILE_PLANT:
        return hostile(plant("sand"))
    return hoggin.load(EXAMPLES / f"{request.param}.hog").balance().document


@pytest.fixture(scope="module")
def laid(results: Results) -> tuple[Diagram, ...]:
    return diagrams(results)


@pytest.fixture(scope="module")
def drawn(results: Results, laid: tuple[Diagram, ...]) -> Drawing:
    return drawing(results, laid)


def numbers(drawn: Drawing, sheet: int, layer: str) -> set[str]:
    """The streams that have words of a layer on a sheet."""
    items = drawn.sheets[sheet].items
    keys = [i.of for i in items if isinstance(i, Words) and i.layer == layer and i.of]
    streams = (key.removeprefix("stream ") for key in keys if key.startswith("stream "))
    return {number for one in streams for number in one.partition(" + ")[0].split(", ")}


@pytest.mark.slow
def test_every_stream_is_drawn_and_in_a_table(results: Results, drawn: Drawing) -> None:
    places = range(len(drawn.sheets))
    on_lines = set().union(*(numbers(drawn, place, "number") for place in places))
    in_tables = set().union(*(numbers(drawn, place, "table") for place in places))
    flowing = [water for water in results.water_streams if water.water_m3_h > 0]
    assert on_lines == {s.number for s in results.streams} | {s.number for s in flowing}
    assert in_tables == on_lines


@pytest.mark.slow
@pytest.mark.parametrize("name", PLANTS)
def test_tables_of_an_example_are_beside_its_diagram_on_a3(name: str) -> None:
    results = hoggin.load(EXAMPLES / f"{name}.hog").balance().document
    laid = diagrams(results)
    drawn = drawing(results, laid)
    assert [sheet.paper for sheet in drawn.sheets] == ["A3"] * len(laid)
    for place in range(len(laid)):
        assert numbers(drawn, place, "number") == numbers(drawn, place, "table")


def test_every_machine_is_in_an_equipment_list(results: Results, drawn: Drawing) -> None:
    words = [i for s in drawn.sheets for i in s.items if isinstance(i, Words)]
    for machine in equipment_of(results.machines):
        of, tag = f"machine {machine.tag}", clean(machine.shown_tag)
        cells = [i.text for i in words if i.of == of and i.layer == "table"]
        assert tag in cells or any(
            cell.endswith("…") and tag.startswith(cell.removesuffix("…")) for cell in cells
        )


def test_no_part_of_a_sheet_lies_on_another(results: Results, laid: tuple[Diagram, ...]) -> None:
    for sheet in planned(results, laid, "A3"):
        boxes = [block.box(at) for block, at in sheet.placing]
        assert not [pair for pair in combinations(boxes, 2) if pair[0].meets(pair[1], -0.01)]


def test_what_asks_for_attention_is_said_in_words(
    laid: tuple[Diagram, ...], drawn: Drawing
) -> None:
    asked = [placed for diagram in laid for placed in diagram.placed if placed.attention]
    said = [
        i.text for s in drawn.sheets for i in s.items
        if isinstance(i, Words) and i.layer == "attention"
    ]  # fmt: skip
    assert len(said) == len(asked)
    assert set(said) <= {"WATCH", "OVER LIMIT", "VOID"}


@pytest.mark.slow
def test_a_plant_that_names_sheets_is_drawn_on_them() -> None:
    whole = plant("quarry")
    machines = tuple(
        machine.model_copy(update={"sheet": "screening" if machine.decks else "crushing"})
        for machine in whole.machines
    )
    results = whole.model_copy(update={"machines": machines})
    drawn = drawing(results, diagrams(results))
    titles = [sheet.title for sheet in drawn.sheets]
    assert titles[0] == "overview"
    assert {"crushing", "screening"} <= {title.rstrip(" 0123456789") for title in titles}
    for sheet in drawn.sheets[1:]:
        shown = {i.of.removeprefix("machine ") for i in sheet.items if isinstance(i, Use)}
        decked = {machine.tag: bool(machine.decks) for machine in machines}
        on_it = {decked[tag] for tag in shown if tag in decked}
        assert on_it <= {sheet.title.startswith("screening")}
