"""The conveyors section: the rating's own figures, and what people are warned of."""

from __future__ import annotations

from hoggin.report import conveyors, equipment, text
from hoggin.report.drawing.graph import graph_of
from hoggin.schema.results import BeltResult, Results
from tests.report.shown import schedule_text


def carried(results: Results) -> Results:
    """The results with their first machine made a conveyor of round figures."""
    belt = BeltResult(
        length_m=100,
        lift_m=10,
        slope_deg=5.7,
        travel_speed_m_s=2,
        width_mm=1000,
        section_m2=0.0962,
        slope_factor=0.97,
        rock_kg_m=50,
        secondary_coefficient=1.78,
        pull_n=8105,
    )
    first, *others = results.machines
    conveyor = first.model_copy(update={"kind": "conveyor", "belt": belt, "power_kw": 18.0})
    return results.model_copy(update={"machines": (conveyor, *others)})


def test_a_conveyor_is_one_row_with_run_load_and_power(quarry: Results) -> None:
    table = conveyors.belts(carried(quarry))
    (row,) = table.rows
    shown = {c.full_heading: c.text(v) for c, v in zip(table.columns, row, strict=True)}
    assert shown["pull (N)"] == "8105" and shown["C"] == "1.78"
    assert shown["section (m2)"] == "0.0962" and shown["drawn (kW)"] == "18.0"


def test_the_schedule_warns_of_nip_points_and_names_its_source(quarry: Results) -> None:
    results = carried(quarry)
    for shown in (schedule_text(results), text.markdown(equipment.document(results))):
        words = " ".join(shown.split())
        assert "nip point" in words and "ISO 5048 (1989), from memory" in words


def test_the_flowsheet_draws_it_as_a_machine(quarry: Results) -> None:
    results = carried(quarry)
    (belt,) = (n for n in graph_of(results).nodes if n.name == results.machines[0].tag)
    assert belt.symbol == "belt" and belt.words[0] == results.machines[0].shown_tag


def test_a_plant_without_conveyors_has_no_section(quarry: Results) -> None:
    assert conveyors.sections(quarry) == ()
