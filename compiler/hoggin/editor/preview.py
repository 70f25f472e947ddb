"""What an editor shows beside the text: the drawing and the tables of the last balance, and the
line of each thing drawn."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from hoggin.editor.snapshot import Snapshot
from hoggin.report import mass_balance
from hoggin.report.drawing.block import moved
from hoggin.report.drawing.diagram import Diagram
from hoggin.report.drawing.figure import figure
from hoggin.report.drawing.layout import diagrams
from hoggin.report.drawing.model import Drawing, Sheet
from hoggin.report.drawing.sheet import symbols_of
from hoggin.report.drawing.svg import svg
from hoggin.report.tables import Table
from hoggin.report.wording import DEFERENCE, PREDICTION, clean
from hoggin.schema.results import Results

_MARGIN = 3.0  # mm around a diagram


@dataclass(frozen=True, slots=True)
class ShownSheet:
    title: str
    svg: str


@dataclass(frozen=True, slots=True)
class ShownTable:
    """Its cells as a reader sees them."""

    title: str
    headings: tuple[str, ...]
    numeric: tuple[bool, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Preview:
    title: str
    sheets: tuple[ShownSheet, ...]
    tables: tuple[ShownTable, ...]
    notes: tuple[str, ...]


def preview(results: Results) -> Preview:
    """Raises HogginError if the plant can't be drawn."""
    tables = (
        mass_balance.requirements(results),
        mass_balance.products(results),
        mass_balance.streams(results),
    )
    return Preview(
        clean(results.title),
        tuple(ShownSheet(clean(one.title), _svg(one)) for one in diagrams(results)),
        tuple(_shown(table.filled()) for table in tables if table.rows),
        (PREDICTION, DEFERENCE),
    )


def _svg(diagram: Diagram) -> str:
    """The diagram without the frame and lists of a document."""
    items = tuple(moved(item, (_MARGIN, _MARGIN)) for item in figure(diagram).items)
    width, height = diagram.width + 2 * _MARGIN, diagram.height + 2 * _MARGIN
    sheet = Sheet("", width, height, "", items)
    (text,) = svg(Drawing(clean(diagram.title), (sheet,), symbols_of((sheet,))))
    return text.decode()


def _shown(table: Table) -> ShownTable:
    columns = [table.texts(place) for place in range(len(table.columns))]
    return ShownTable(
        table.title,
        tuple(column.full_heading for column in table.columns),
        tuple(column.numeric for column in table.columns),
        tuple(zip(*columns, strict=True)),
    )


def lines(snapshot: Snapshot) -> Mapping[str, int]:
    """The line, from 0, of each machine and stream of the drawing that the document itself states,
    by the drawing's name for it."""
    return dict(_lines(snapshot))


def _lines(snapshot: Snapshot) -> Iterator[tuple[str, int]]:
    results, plant = snapshot.results, snapshot.checked.plant
    if results is None or plant is None:
        return
    for kind in (plant.feeds, plant.machines, plant.products):
        for thing in kind:
            if thing.place.file == snapshot.name:
                yield f"machine {thing.tag}", thing.place.line - 1
    for stream in results.streams:
        for span in snapshot.checked.routes.get(stream.name, ()):
            if span.source.name == snapshot.name:
                yield f"stream {stream.number}", span.line - 1
