"""A plant's diagrams set on sheets, with everything a reader asks of a drawing beside them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import fsum

from hoggin.errors import HogginError
from hoggin.report.drawing.arrangement import Arranged, Listed, Parts, Placing, arranged
from hoggin.report.drawing.block import moved, scale_of
from hoggin.report.drawing.diagram import Diagram
from hoggin.report.drawing.equipment_list import NOTE as EQUIPMENT_NOTE
from hoggin.report.drawing.equipment_list import equipment_list, equipment_of
from hoggin.report.drawing.figure import figure, numbers_of
from hoggin.report.drawing.frame import PAPERS_MM, frame, space
from hoggin.report.drawing.legend import legend
from hoggin.report.drawing.model import Drawing, Item, Shape, Sheet, Use, Words
from hoggin.report.drawing.stream_table import NOTE as STREAM_NOTE
from hoggin.report.drawing.stream_table import stream_table, streams_of
from hoggin.report.drawing.symbols import symbol
from hoggin.report.drawing.table_sheets import table_sheets
from hoggin.report.drawing.title_block import KIND, Place, corner
from hoggin.report.wording import clean
from hoggin.schema.results import Results

TABLES = "Tables"  # what a sheet without a diagram is called


@dataclass(frozen=True, slots=True)
class Lists:
    """The tables beside a diagram: `wide` may go along the foot of the sheet, a thing a column;
    `narrow` goes down."""

    wide: Callable[[Results, Diagram], Listed]
    narrow: Callable[[Results, Diagram], Listed]


@dataclass(frozen=True, slots=True)
class Planned:
    """A sheet as blocks at their places, without its frame."""

    paper: str
    title: str
    placing: Placing


def drawing(
    results: Results,
    diagrams: Sequence[Diagram],
    paper: str = "A3",
    lists: Lists | None = None,
    kind: str = KIND,
) -> Drawing:
    """The diagrams on sheets of this paper, or of the next larger one that holds them; then sheets
    with the tables that had no room. `kind` is what the title block calls the document.

    Raises: HogginError for a paper that is not known, or a legend that no paper holds.
    """
    sheets = tuple(map(_sheet, planned(results, diagrams, paper, lists or OF_PLANT, kind)))
    return Drawing(clean(results.title), sheets, symbols_of(sheets))


def symbols_of(sheets: Sequence[Sheet]) -> dict[str, tuple[Shape, ...]]:
    """The symbols that the sheets use, at every scale in which they do."""
    used = {item.symbol for sheet in sheets for item in sheet.items if isinstance(item, Use)}
    shapes: dict[str, tuple[Shape, ...]] = {}
    for name in sorted(used):
        plain, scale = scale_of(name)
        drawn = symbol(plain).shapes
        shapes[name] = tuple(moved(shape, (0.0, 0.0), scale) for shape in drawn)
    return shapes


def planned(
    results: Results,
    diagrams: Sequence[Diagram],
    paper: str,
    lists: Lists | None = None,
    kind: str = KIND,
) -> tuple[Planned, ...]:
    """What is where on each sheet."""
    if paper not in PAPERS_MM:
        raise HogginError(f"{paper} is not a paper of a drawing: these are {', '.join(PAPERS_MM)}")
    found: list[Planned] = []
    left_out: list[Listed] = []
    for diagram in diagrams:
        size, one = _set(results, diagram, paper, lists or OF_PLANT)
        found.append(Planned(size, clean(diagram.title), one.placing))
        left_out += one.left_out
    area = space(*PAPERS_MM[paper])
    for placing in table_sheets(left_out, area, _corner_size(results)):
        found.append(Planned(paper, TABLES, placing))
    return tuple(
        _with_corner(one, results, Place(n, len(found), one.title, one.paper, kind))
        for n, one in enumerate(found, start=1)
    )


def _set(results: Results, diagram: Diagram, paper: str, lists: Lists) -> tuple[str, Arranged]:
    """The first paper from this one on that holds the diagram, and where everything is on it; on
    the largest it is reduced, where none does."""
    parts = Parts(
        figure(diagram),
        _corner_size(results),
        lambda room: legend(diagram, room),
        lists.wide(results, diagram),
        lists.narrow(results, diagram),
    )
    names = list(PAPERS_MM)
    for size in names[names.index(paper) :]:
        found = arranged(parts, space(*PAPERS_MM[size]), reduced=size == names[-1])
        if found is not None:
            return size, found
    raise HogginError(f"the legend of the diagram {diagram.title!r} is too large for {names[-1]}")


def _corner_size(results: Results) -> tuple[float, float]:
    blocks = corner(results, Place(1, 1, "", ""))
    return blocks[0].width, fsum(block.height for block in blocks)


def _streams(results: Results, diagram: Diagram) -> Listed:
    """The table of the streams that the diagram shows."""
    streams = streams_of(results, {n for route in diagram.routes for n in numbers_of(route.flag)})
    of = tuple(f"stream {stream.number}" for stream in streams)
    return Listed(stream_table(results, streams), of, STREAM_NOTE)


def _equipment(results: Results, diagram: Diagram) -> Listed:
    """The list of the machines that the diagram shows."""
    names = {placed.name for placed in diagram.placed}
    machines = equipment_of([one for one in results.machines if one.tag in names])
    table = equipment_list(results, machines)
    return Listed(table, tuple(f"machine {m.tag}" for m in machines), EQUIPMENT_NOTE)


OF_PLANT = Lists(wide=_streams, narrow=_equipment)


def _with_corner(planned: Planned, results: Results, place: Place) -> Planned:
    """With the title block in its corner, and the revisions on it."""
    inner = space(*PAPERS_MM[planned.paper])
    right, foot = inner.x + inner.width, inner.y + inner.height
    placing = list(planned.placing)
    for block in corner(results, place):
        foot -= block.height
        placing.append((block, (right - block.width, foot)))
    return replace(planned, placing=tuple(placing))


def _sheet(planned: Planned) -> Sheet:
    """The sheet with its frame."""
    width, height = PAPERS_MM[planned.paper]
    items: list[Item] = list(frame(width, height))
    for block, at in planned.placing:
        drawn = (one for one in block.items if not isinstance(one, Words) or one.text)
        items += (moved(item, at) for item in drawn)
    return Sheet(planned.paper, width, height, planned.title, tuple(items))
