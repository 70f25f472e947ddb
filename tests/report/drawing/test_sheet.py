"""Sheets: nothing overlaps, nothing leaves its part, and the tables have the numbers of the mass
balance."""

from __future__ import annotations

from itertools import combinations

import pytest

from hoggin.errors import HogginError
from hoggin.report import mass_balance
from hoggin.report.drawing.arrangement import Placing
from hoggin.report.drawing.block import Block
from hoggin.report.drawing.diagram import Box
from hoggin.report.drawing.frame import PAPERS_MM, space
from hoggin.report.drawing.lettering import CAPITAL, width_of
from hoggin.report.drawing.model import Drawing, Sheet, Stroke, Words
from hoggin.report.drawing.sheet import Planned, drawing, planned
from hoggin.report.drawing.stream_table import stream_table, telling_sieves
from hoggin.report.mass_balance import EMPTY_T_H
from hoggin.report.wording import outlet_of
from hoggin.schema.results import Results
from tests.documented import documented

from .sample import hand_set, plant

SLACK = 0.01


def plan(results: Results, paper: str = "A3") -> tuple[Planned, ...]:
    return planned(results, [hand_set(results)], paper)


def box_of(words: Words) -> Box:
    """What one line of text takes."""
    width = width_of(words.text, words.size, bold=words.bold)
    shift = {"start": 0.0, "middle": width / 2, "end": width}[words.anchor]
    top = words.at[1] - CAPITAL * words.size
    return Box(words.at[0] - shift, top, width, CAPITAL * words.size)


def words_of(sheet: Sheet | Block) -> list[Words]:
    return [item for item in sheet.items if isinstance(item, Words)]


def inside(inner: Box, outer: Box) -> bool:
    return (
        inner.x >= outer.x - SLACK
        and inner.y >= outer.y - SLACK
        and inner.x + inner.width <= outer.x + outer.width + SLACK
        and inner.y + inner.height <= outer.y + outer.height + SLACK
    )


def boxes(placing: Placing) -> list[Box]:
    return [block.box(at) for block, at in placing]


@pytest.mark.parametrize("paper", ["A3", "A2", "A0"])
def test_diagram_tables_and_title_block_do_not_overlap(results: Results, paper: str) -> None:
    for sheet in plan(results, paper):
        overlapping = [
            (a, b) for a, b in combinations(boxes(sheet.placing), 2) if a.meets(b, -SLACK)
        ]
        assert not overlapping


@pytest.mark.parametrize("paper", ["A3", "A2", "A0"])
def test_everything_is_inside_the_frame(results: Results, paper: str) -> None:
    for sheet in plan(results, paper):
        area = space(*PAPERS_MM[sheet.paper])
        assert all(inside(box, area) for box in boxes(sheet.placing))


def test_no_words_leave_their_part_of_the_sheet(results: Results) -> None:
    for sheet in plan(results):
        for block, _ in sheet.placing:
            outside = [w for w in words_of(block) if not inside(box_of(w), block.box((0, 0)))]
            assert block.name == "diagram" or not outside


def test_no_two_words_of_a_sheet_lie_on_each_other(results: Results) -> None:
    for sheet in plan(results):
        for block, _ in sheet.placing:
            if block.name != "diagram":
                pairs = combinations([box_of(w) for w in words_of(block) if w.text], 2)
                assert not [pair for pair in pairs if pair[0].meets(pair[1], -SLACK)]


def test_a_text_is_whole_or_ends_with_an_ellipsis(results: Results) -> None:
    """Title and number of the document are on the sheet, or what is shown of them says that there
    is more."""
    [sheet, *_] = drawing(results, [hand_set(results)]).sheets
    shown = " ".join(words.text for words in words_of(sheet))
    for text in (results.title, results.project.document_number, results.project.client):
        start = text.split()[0][:8]
        assert text in shown or (start in shown and "…" in shown)


def test_text_is_at_least_as_large_as_the_least_of_a_sheet(drawn: Drawing) -> None:
    """1.8 mm in tables, 2 mm in flags, 2.2 mm in the diagram: common practice, no source."""
    for sheet in drawn.sheets:
        least = {"number": 2.0, "tag": 2.2, "connector": 2.2, "attention": 2.2}
        assert all(words.size >= least.get(words.layer, 1.8) for words in words_of(sheet))


def test_line_widths_are_of_the_series_of_iso_128(drawn: Drawing) -> None:
    """0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1 mm (ISO 128-2, from memory)."""
    strokes = [item for sheet in drawn.sheets for item in sheet.items if isinstance(item, Stroke)]
    assert {stroke.width for stroke in strokes} <= {0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0}


def test_the_frame_has_the_fields_of_iso_5457(drawn: Drawing) -> None:
    """A3 has 8 fields along and 6 down, a left margin of 20 mm and others of 10 mm (ISO 5457:1999,
    from memory)."""
    [sheet, *_] = drawn.sheets
    grid = {words.text for words in words_of(sheet) if words.layer == "frame"}
    assert grid == {*"12345678", *"ABCDEF"}
    frame = next(i for i in sheet.items if isinstance(i, Stroke) and i.width == 0.7)
    assert set(frame.points) == {(20, 10), (410, 10), (410, 287), (20, 287)}


def test_every_stream_is_in_the_tables_once_with_the_numbers_of_the_mass_balance(
    results: Results, drawn: Drawing
) -> None:
    """Each column of figures is the one that the mass balance prints."""
    table = stream_table(results, results.streams)
    columns = {column.heading: place for place, column in enumerate(table.columns)}
    balance = mass_balance.streams(results)
    other = {column.heading: place for place, column in enumerate(balance.columns)}
    for row, wanted in zip(table.rows, balance.rows, strict=True):
        for heading in ("rate", "P80"):
            here, there = columns[heading], other[heading]
            shown = table.columns[here].text(row[here])
            assert shown == balance.columns[there].text(wanted[there])
    for stream in results.streams:
        items = [w for sheet in drawn.sheets for w in words_of(sheet)]
        cells = [w.text for w in items if w.of == f"stream {stream.number}" and w.layer == "table"]
        assert cells.count(f"{stream.rate_t_h:.1f}") >= 1
        assert cells.count(stream.number) == 1


def test_three_sieves_are_those_of_the_results_and_the_same_on_every_sheet(
    results: Results,
) -> None:
    places = telling_sieves(results)
    assert len(set(places)) == 3
    halves = results.streams[::2], results.streams[1::2]
    headings = [[c.heading for c in stream_table(results, half).columns] for half in halves]
    assert headings[0] == headings[1]
    for place in places:
        carried = [s.passing[place] for s in results.streams if s.rate_t_h > EMPTY_T_H]
        assert max(carried) - min(carried) > 0.05


def test_a_stream_says_from_where_to_where(results: Results) -> None:
    table = stream_table(results, results.streams)
    tags = {m.tag: m.shown_tag for m in results.machines}
    for row, stream in zip(table.rows, results.streams, strict=True):
        assert row[0] == stream.number
        assert row[2] == tags.get(stream.target, stream.target)
        if stream.source not in tags:
            assert row[1] == outlet_of(stream)


@pytest.mark.slow
def test_no_date_is_on_a_sheet_that_the_plant_does_not_state() -> None:
    results = documented(plant("quarry")).model_copy(update={"plant": None})
    [sheet, *_] = drawing(results, [hand_set(results)]).sheets
    assert not [words for words in words_of(sheet) if "202" in words.text]


@pytest.mark.slow
def test_the_revision_that_is_issued_gives_the_date_and_who_made_it() -> None:
    results = plant("quarry")
    [sheet, *_] = drawing(results, [hand_set(results)]).sheets
    texts = [words.text for words in words_of(sheet)]
    assert texts.count("2026-09-01") == 2  # in the table of revisions and in the title block
    assert texts.count("2026-03-31") == 1
    assert "4711-PR-001" in texts


def test_sheets_are_numbered_and_their_count_is_stated(drawn: Drawing) -> None:
    for n, sheet in enumerate(drawn.sheets, start=1):
        assert f"{n} of {len(drawn.sheets)}" in [words.text for words in words_of(sheet)]


@pytest.mark.slow
def test_tables_without_room_are_on_further_sheets_whole() -> None:
    results = plant("quarry")
    diagram = hand_set(results, height=48.0)
    first, *rest = planned(results, [diagram], "A3")
    names = [block.name for block, _ in first.placing]
    assert "Streams" not in names
    listed = [w.text for one in rest for block, _ in one.placing for w in words_of(block)]
    assert all(stream.number in listed for stream in results.streams)


@pytest.mark.slow
def test_a_diagram_that_is_too_large_is_on_the_next_larger_paper() -> None:
    results = plant("quarry")
    diagram = hand_set(results, height=75.0)
    [first, *_] = drawing(results, [diagram], "A3").sheets
    assert (first.paper, first.width, first.height) == ("A2", 594.0, 420.0)


@pytest.mark.slow
def test_a_diagram_that_no_paper_holds_is_reduced_to_the_largest() -> None:
    results = plant("quarry")
    [sheet] = planned(results, [hand_set(results, height=500.0)], "A3")
    assert sheet.paper == "A0"
    inner = space(*PAPERS_MM["A0"])
    assert all(inside(box, inner) for box in boxes(sheet.placing))
    assert {block.name for block, _ in sheet.placing} >= {"Streams", "Equipment", "legend"}


@pytest.mark.slow
def test_an_unknown_paper_is_reported() -> None:
    with pytest.raises(HogginError, match="B5 is not a paper of a drawing"):
        drawing(plant("quarry"), [], "B5")
