"""The storage section: what is stored, and what people are warned of."""

from __future__ import annotations

from hoggin.report import equipment, storage, text
from hoggin.report.tables import Column
from hoggin.schema.results import Results, StorageResult
from tests.report.shown import schedule_text


def piled(results: Results) -> Results:
    """The results with one machine made a pile of round figures: 1000 t, 200 live, at 50 t/h."""
    pile = StorageResult(
        height_m=10,
        repose_deg=37,
        drawdown_deg=37,
        base_diameter_m=26.5,
        volume_m3=625,
        held_t=1000,
        live_share=0.2,
        live_t=200,
        through_t_h=50,
        surge_time_h=4,
    )
    first, *others = results.machines
    first = first.model_copy(update={"tag": "surge", "kind": "stockpile", "storage": pile})
    return results.model_copy(update={"machines": (first, *others)})


def test_a_pile_is_one_row_with_what_it_holds_and_how_long_it_lasts(quarry: Results) -> None:
    table = storage.storage(piled(quarry))
    (row,) = table.rows
    shown = dict(
        zip([c.full_heading for c in table.columns], _read(table.columns, row), strict=True)
    )
    assert shown["tag"] == "surge"
    assert shown["holds (t)"] == "1000" and shown["live (%)"] == "20.0"
    assert shown["live (t)"] == "200" and shown["lasts (h)"] == "4.00"


def test_the_schedule_warns_of_voids(quarry: Results) -> None:
    results = piled(quarry)
    for shown in (schedule_text(results), text.markdown(equipment.document(results))):
        assert "voids" in shown and "surge" in shown


def test_a_plant_without_storage_has_no_section(quarry: Results) -> None:
    assert storage.sections(quarry) == ()


def _read(columns: tuple[Column, ...], row: tuple[object, ...]) -> list[str]:
    return [column.text(value) for column, value in zip(columns, row, strict=True)]  # type: ignore[arg-type]
