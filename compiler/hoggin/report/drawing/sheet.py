"""A plant's diagrams set on sheets, with everything a reader asks of a drawing beside them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hoggin.errors import HogginError
from hoggin.report.drawing import equipment_list, stream_table
from hoggin.report.drawing.arrangement import Arranged, Listed, Parts, Placing, arranged
from hoggin.report.drawing.block import moved
from hoggin.report.drawing.diagram import Diagram
from hoggin.report.drawing.figure import figure
from hoggin.report.drawing.frame import PAPERS_MM, frame, space
from hoggin.report.drawing.legend import Symbols, legend
from hoggin.report.drawing.model import Drawing, Item, Sheet
from hoggin.report.drawing.table_sheets import table_sheets
from hoggin.report.drawing.title_block import Place, corner
from hoggin.report.wording import clean
from hoggin.schema.results import Results

TABLES = "Tables"  # what a sheet without a diagram is called


@dataclass(frozen=True, slots=True)
class Planned:
    """A sheet before the number of sheets is known."""

    paper: str
    title: str
    placing: Placing


def drawing(
    results: Results,
    diagrams: Sequence[Diagram],
    symbols: Symbols,
    words: Mapping[str, str],
    paper: str = "A3",
) -> Drawing:
    """The diagrams on sheets of this paper, or of the next larger one that holds them; then sheets
    with the tables that had no room. `words` are what the legend calls the symbols.

    Raises: HogginError for a paper that is not known, or a diagram that no paper holds.
    """
    if paper not in PAPERS_MM:
        raise HogginError(f"{paper} is not a paper of a drawing: these are {', '.join(PAPERS_MM)}")
    planned: list[Planned] = []
    left_out: list[Listed] = []
    for diagram in diagrams:
        size, found = _set(results, diagram, symbols, words, paper)
        planned.append(Planned(size, diagram.title, found.placing))
        left_out += found.left_out
    area = space(*PAPERS_MM[paper])
    for placing in table_sheets(left_out, area, _corner_size(results)):
        planned.append(Planned(paper, TABLES, placing))
    sheets = (_sheet(results, one, n, len(planned)) for n, one in enumerate(planned, start=1))
    return Drawing(clean(results.title), tuple(sheets), dict(symbols))


def _set(
    results: Results,
    diagram: Diagram,
    symbols: Symbols,
    words: Mapping[str, str],
    paper: str,
) -> tuple[str, Arranged]:
    """The first paper from this one on that holds the diagram, and where everything is on it."""
    parts = Parts(
        figure(diagram),
        _corner_size(results),
        lambda room: legend(diagram, symbols, words, room),
        _streams(results, diagram),
        _equipment(results, diagram),
    )
    names = list(PAPERS_MM)
    for size in names[names.index(paper) :]:
        found = arranged(parts, space(*PAPERS_MM[size]))
        if found is not None:
            return size, found
    raise HogginError(
        f"the diagram {diagram.title or results.title!r} is {diagram.width:.0f} mm by "
        f"{diagram.height:.0f} mm: no paper up to {names[-1]} holds it"
    )


def _corner_size(results: Results) -> tuple[float, float]:
    blocks = corner(results, Place(1, 1, "", ""))
    return blocks[0].width, sum(block.height for block in blocks)


def _streams(results: Results, diagram: Diagram) -> Listed:
    """The table of the streams that the diagram shows."""
    numbers = {route.stream: route.flag.number for route in diagram.routes}
    numbered = [(numbers[s.name], s) for s in results.streams if s.name in numbers]
    table = stream_table.stream_table(results, numbered)
    return Listed(table, tuple(f"stream {n}" for n, _ in numbered), stream_table.NOTE)


def _equipment(results: Results, diagram: Diagram) -> Listed:
    """The list of the machines that the diagram shows."""
    names = {placed.name for placed in diagram.placed}
    machines = [machine for machine in results.machines if machine.tag in names]
    table = equipment_list.equipment_list(results, machines)
    return Listed(table, tuple(f"machine {m.tag}" for m in machines), equipment_list.NOTE)


def _sheet(results: Results, planned: Planned, number: int, of: int) -> Sheet:
    """The sheet with its frame and its title block."""
    width, height = PAPERS_MM[planned.paper]
    items: list[Item] = list(frame(width, height))
    inner = space(width, height)
    right, foot = inner.x + inner.width, inner.y + inner.height
    placing = list(planned.placing)
    for block in corner(results, Place(number, of, planned.title, planned.paper)):
        foot -= block.height
        placing.append((block, (right - block.width, foot)))
    for block, at in placing:
        items += (moved(item, at) for item in block.items)
    return Sheet(planned.paper, width, height, clean(planned.title), tuple(items))
