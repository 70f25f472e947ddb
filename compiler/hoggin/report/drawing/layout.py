"""Results -> diagrams: one sheet, if the plant is legible on it; else a sheet for each section."""

from __future__ import annotations

from collections.abc import Sequence

from hoggin.errors import HogginError
from hoggin.report.drawing import dividing
from hoggin.report.drawing.diagram import Diagram
from hoggin.report.drawing.graph import Graph, graph_of
from hoggin.report.drawing.placing import SheetGraph, Way, diagram
from hoggin.schema.results import Results

ROOM_MM = (390.0, 190.0)  # for a diagram on A3 landscape, above its tables
MOST_WHOLE = 30  # machines of a plant that may fit one sheet
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
    """The plant's diagram; where one sheet can't hold it, an overview and one for each part. The
    sheet of a connector is a place in this list, from 1."""
    return diagrams_of(graph_of(results))


def diagrams_of(graph: Graph) -> tuple[Diagram, ...]:
    """The same, of what is drawn."""
    if sum(map(dividing.is_machine, graph.nodes)) <= MOST_WHOLE:
        whole = best(SheetGraph("", graph.nodes, graph.lines))
        if fits(whole):
            return (whole,)
    return _divided(graph)


def best(sheet: SheetGraph) -> Diagram:
    """The first way of laying a sheet out that fits; the one that comes nearest if none does."""
    found: list[Diagram] = []
    for way in WAYS:
        tried = diagram(sheet, way)
        if tried is not None and fits(tried):
            return tried
        if tried is not None:
            found.append(tried)
    if not found:
        raise HogginError("The flowsheet could not be laid out.")
    return min(found, key=_excess)


def fits(made: Diagram) -> bool:
    return _excess(made) <= 1.0


def _excess(made: Diagram) -> float:
    """How many times larger than its room a diagram is, along the worse side."""
    return max(made.width / ROOM_MM[0], made.height / ROOM_MM[1])


def _divided(graph: Graph) -> tuple[Diagram, ...]:
    first = 2  # the overview is sheet 1
    parts = dividing.sections(graph)
    while True:
        sheets = dividing.sheet_graphs(graph, parts, first)
        made = [best(sheet) for sheet in sheets]
        large = [
            not fits(one) and len(part.nodes) >= 2 * dividing.LEAST
            for one, part in zip(made, parts, strict=True)
        ]
        if not any(large):
            break
        parts = [
            piece
            for part, cut in zip(parts, large, strict=True)
            for piece in (dividing.halves(part, graph.lines) if cut else (part,))
        ]
    return (_overview(graph, sheets, first), *made)


def _overview(graph: Graph, sheets: Sequence[SheetGraph], first: int) -> Diagram:
    return best(dividing.overview(graph, sheets, first))
