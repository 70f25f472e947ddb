"""What every flowsheet is: whole, joined and legible, computed from its diagrams alone."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import networkx as nx
import pytest

from hoggin.balancing import rated
from hoggin.check.checker import check_file
from hoggin.report.drawing.diagram import Diagram
from hoggin.report.drawing.graph import Graph, graph_of
from hoggin.report.drawing.layout import diagrams, diagrams_of, fits
from hoggin.schema.results import Results
from tests.generator import plant
from tests.generator.drawing import MAIN, write
from tests.report.drawing.plants import plant_graph, twin_sections
from tests.report.drawing.reading import faults

pytestmark = pytest.mark.slow

_EXAMPLES = sorted(
    path
    for folder in ("examples", "examples/cookbook")
    for path in (Path(__file__).parents[3] / folder).glob("*.hog")
)
Ends = dict[str, tuple[str, str]]


def _results(path: Path) -> Results | None:
    checked = check_file(path)
    found = rated(checked) if checked.plant is not None else None
    return found if isinstance(found, Results) else None


def _ends(results: Results) -> Ends:
    """Ends of all streams; those of water alone have supplies that are drawn and no results."""
    rock = {stream.name: (stream.source, stream.target) for stream in results.streams}
    water = [line for line in graph_of(results).lines if line.kind == "water"]
    flowing = {stream.number for stream in results.water_streams if stream.water_m3_h > 0}
    assert {line.stream for line in water} == flowing
    return rock | {line.stream: (line.source, line.target) for line in water}


def _ends_of(graph: Graph) -> Ends:
    return {line.stream: (line.source, line.target) for line in graph.lines}


def _sheets(drawn: Sequence[Diagram]) -> Sequence[Diagram]:
    """The sheets with machines: all but the overview."""
    return drawn if len(drawn) == 1 else drawn[1:]


def _wrong(drawn: Sequence[Diagram], ends: Ends) -> list[str]:
    found = [f"{one.title}: {fault}" for one in _sheets(drawn) for fault in faults(one, ends)]
    found += [f"{one.title} is too large" for one in _sheets(drawn) if not fits(one)]
    return found + _broken(drawn, ends)


def _broken(drawn: Sequence[Diagram], ends: Ends) -> list[str]:
    """Streams that are not drawn once, or once on each of two sheets that name one another."""
    wrong = []
    for stream in ends:
        on = [k for k, one in enumerate(drawn, 1) for r in one.routes if r.stream == stream]
        on = [k for k in on if len(drawn) == 1 or k > 1]
        joints = [
            (c.leaves, k, c.sheet)
            for k, one in enumerate(drawn, 1)
            for c in one.connectors
            if c.stream == stream
        ]
        if len(on) == 1 and not joints:
            continue
        if len(on) == 2:
            here, there = sorted(joints, reverse=True)  # where it leaves, and where it arrives
            if here == (True, there[2], there[1]) and set(on) == {here[1], there[1]}:
                continue
        wrong.append(f"{stream} is on {on} with {joints}")
    return wrong


@pytest.mark.parametrize("path", _EXAMPLES, ids=lambda path: path.stem)
def test_an_example_is_drawn_whole_on_one_sheet_or_on_those_it_names(path: Path) -> None:
    results = _results(path)
    assert results is not None
    drawn = diagrams(results)
    assert _wrong(drawn, _ends(results)) == []
    if any(machine.sheet for machine in results.machines):  # it names its own sheets
        assert len(drawn) > 1
        return
    assert len(drawn) == 1
    placed = {one.name for one in drawn[0].placed if one.symbol != "water"}
    tags = {part.tag for part in results.machines}
    tags |= {part.tag for part in results.feeds} | {part.tag for part in results.products}
    assert placed == tags


@pytest.mark.parametrize("seed", range(20))
def test_a_random_plant_is_drawn_whole(seed: int, tmp_path: Path) -> None:
    write(plant(seed), tmp_path)
    results = _results(tmp_path / MAIN)
    if results is not None:
        assert _wrong(diagrams(results), _ends(results)) == []


@pytest.mark.parametrize(("seed", "section"), [(1, 0), (2, 12), (3, 7)])
def test_sixty_machines_are_drawn_on_sheets_that_name_one_another(seed: int, section: int) -> None:
    graph = plant_graph(60, seed, section)
    drawn = diagrams_of(graph)
    assert len(drawn) > 2
    assert _wrong(drawn, _ends_of(graph)) == []


def test_every_product_of_sixty_machines_can_be_followed_to_its_feed() -> None:
    """By what a reader sees: lines on a sheet, and connectors from sheet to sheet."""
    graph = plant_graph(60, 4, 10)
    drawn = diagrams_of(graph)
    seen: nx.DiGraph[object] = nx.DiGraph()
    ends = _ends_of(graph)
    for number, sheet in enumerate(drawn[1:], 2):
        here = {one.name for one in sheet.placed}
        away = {(c.stream, c.leaves): c.sheet for c in sheet.connectors}
        for route in sheet.routes:
            source, target = ends[route.stream]
            start: object = source if source in here else (route.stream, away[route.stream, False])
            end: object = target if target in here else (route.stream, number)
            seen.add_edge(start, end)
    piles = [one.name for sheet in drawn for one in sheet.placed if one.symbol == "product"]
    fed = nx.descendants(seen, "pit")
    assert piles
    assert set(piles) <= fed


def test_the_overview_has_each_sheet_and_all_that_goes_from_one_to_another() -> None:
    graph = plant_graph(60, 2, 12)
    overview, *sheets = diagrams_of(graph)
    assert [box.name for box in overview.placed] == [sheet.title for sheet in sheets]
    home = {one.name: sheet.title for sheet in sheets for one in sheet.placed}
    crossing = {(home[a], home[b]) for a, b in _ends_of(graph).values() if home[a] != home[b]}
    assert len(overview.routes) == len(crossing)


def test_equal_sections_have_equal_layouts() -> None:
    """Sections that differ only in their names are drawn alike, place by place."""
    drawn = diagrams_of(twin_sections(("left", "rear", "spare", "fourth"), 9))
    sheets = [sheet for sheet in drawn if sheet.title in ("left", "rear", "spare", "fourth")]
    assert len(sheets) == 4
    assert len({tuple(one.box for one in sheet.placed) for sheet in sheets}) == 1
    assert len({tuple(route.points for route in sheet.routes) for sheet in sheets}) == 1


def test_the_main_line_runs_down_the_sheet() -> None:
    results = _results(Path(__file__).parents[3] / "examples" / "cookbook" / "tramp_guard.hog")
    assert results is not None
    (drawn,) = diagrams(results)
    at = {one.name: one.box for one in drawn.placed}
    line = ["shot_rock", "hopper_feeder", "cone_belt", "scale", "taker", "finder", "cone", "base"]
    heights = [at[name].y for name in line]
    assert heights == sorted(heights)


def test_returns_are_marked_as_the_results_mark_them() -> None:
    results = _results(Path(__file__).parents[3] / "examples" / "quarry.hog")
    assert results is not None
    (drawn,) = diagrams(results)
    marked = {route.stream for route in drawn.routes if route.returns}
    assert marked == {stream.name for stream in results.streams if stream.recirculating}


def test_the_same_plant_is_drawn_the_same_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    graph = plant_graph(20, 5)
    first = diagrams_of(graph)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))  # nothing is known there
    assert diagrams_of(graph) == first
