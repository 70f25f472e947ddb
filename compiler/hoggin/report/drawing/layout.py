"""Results -> diagrams: one sheet, if the plant is legible on it; else a sheet for each section."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from hoggin.errors import HogginError
from hoggin.report.drawing import dividing, placing
from hoggin.report.drawing.diagram import Diagram
from hoggin.report.drawing.dividing import Part
from hoggin.report.drawing.graph import Graph, graph_of
from hoggin.report.drawing.placing import SheetGraph, Way
from hoggin.schema.results import Results

Room = tuple[float, float]
ROOM_MM: Room = (390.0, 190.0)  # for a diagram on A3 landscape, above its tables
LARGER_MM: Room = (564.0, 300.0)  # the same on A2
FIRST = 2  # sheet of the first part: the overview is sheet 1
MOST_WHOLE = 30  # machines of a plant that may fit one sheet
MOST_BOXES = 40  # of an overview by sheet
HOPELESS = 1.25  # times the room's area: no other way brings a diagram into it
# In the order in which they are tried; all keep the text's size.
WAYS = (
    Way(),
    Way(aspect=1.2),
    Way(cycles="GREEDY"),
    Way(cycles="GREEDY", aspect=1.0),
    Way(aspect=2.0),
    Way(direction="RIGHT"),
)


def diagrams(results: Results) -> tuple[Diagram, ...]:
    """The plant's diagram; where one sheet can't hold it, or the plant names sheets, an overview
    and one for each part. The sheet of a connector is a place in this list, from 1."""
    return diagrams_of(graph_of(results))


def diagrams_of(graph: Graph, rooms: Sequence[Room] = (ROOM_MM,)) -> tuple[Diagram, ...]:
    """The same, of what is drawn. The whole plant is tried in each of the rooms, before it is
    divided."""
    named = any(node.sheet for node in graph.nodes)
    if not named and sum(map(dividing.is_machine, graph.nodes)) <= MOST_WHOLE:
        for room in rooms:
            whole, _ = best(SheetGraph("", graph.nodes, graph.lines), room=room)
            if fits(whole, room):
                return (whole,)
    return _divided(graph)


def best(
    sheet: SheetGraph,
    ways: Sequence[Way] = WAYS,
    hopeless: float = HOPELESS,
    room: Room = ROOM_MM,
) -> tuple[Diagram, Way]:
    """The first way of laying a sheet out that fits; the one that comes nearest if none does.

    hopeless: of so many times the room's area, no other way is tried."""
    excess: dict[Way, float] = {}
    for way in ways:
        size = placing.size(sheet, way)
        if size is None:
            continue
        excess[way] = _excess(size, room)
        if excess[way] <= 1.0:
            made = placing.diagram(sheet, way)
            if made is not None and fits(made, room):
                return made, way
        if size[0] * size[1] > hopeless * room[0] * room[1]:
            break
    for way in sorted(excess, key=excess.__getitem__):
        made = placing.diagram(sheet, way)
        if made is not None:
            return made, way
    raise HogginError("The flowsheet could not be laid out.")


def fits(made: Diagram, room: Room = ROOM_MM) -> bool:
    return _excess((made.width, made.height), room) <= 1.0


def _excess(size: tuple[float, float], room: Room) -> float:
    """How many times larger than its room a diagram is, along the worse side."""
    return max(size[0] / room[0], size[1] / room[1])


def _divided(graph: Graph) -> tuple[Diagram, ...]:
    parts = dividing.sections(graph)
    ways: dict[Part, Way] = {}  # of the parts that need no more cutting
    while len(ways) < len(parts):
        sheets = dividing.sheet_graphs(graph, parts, FIRST)
        pieces: list[Part] = []
        for part, sheet in zip(parts, sheets, strict=True):
            if part in ways:
                pieces.append(part)
                continue
            made, way = best(sheet)
            if fits(made) or len(part.nodes) < 2 * dividing.LEAST:
                ways[part] = way
                pieces.append(part)
            else:
                pieces += dividing.halves(part, graph.lines)
        parts = pieces
    sheets = dividing.sheet_graphs(graph, parts, FIRST)
    drawn = [best(sheet, (ways[part],))[0] for part, sheet in zip(parts, sheets, strict=True)]
    return (_overview(graph, parts, sheets), *drawn)


def _overview(graph: Graph, parts: Sequence[Part], sheets: Sequence[SheetGraph]) -> Diagram:
    """By sheet where it fits so, else by section."""
    if len(sheets) <= MOST_BOXES:
        made, _ = best(dividing.overview(graph, dividing.by_sheet(sheets, FIRST)))
        if fits(made):
            return made
    grouped = dividing.overview(graph, dividing.by_section(parts, sheets, FIRST))
    return best(grouped, hopeless=inf)[0]  # it is not divided; it may need larger paper
