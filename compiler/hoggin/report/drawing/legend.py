"""The legend: what the symbols, lines and marks of one sheet mean, and nothing else."""

from __future__ import annotations

from collections.abc import Iterator
from math import fsum

from hoggin.report.drawing.block import (
    HEADING_ROOM,
    LINE,
    OUTLINE,
    Block,
    corners,
    heading,
    moved,
    outline,
)
from hoggin.report.drawing.cloud import cloud, crossed, triangle
from hoggin.report.drawing.diagram import Box, Diagram, Flag, Point
from hoggin.report.drawing.figure import HEAVY, HOP, flag, style_of
from hoggin.report.drawing.lettering import fitted, width_of
from hoggin.report.drawing.measures import TRIANGLE
from hoggin.report.drawing.model import Arc, Item, Stroke, Words
from hoggin.report.drawing.symbols import symbol

SWATCH = (11.0, 5.6)  # the room of a swatch
TEXT = 2.0
GAP = 1.8  # from swatch to words
COLUMN_GAP = 3.0

CALLED = {
    "belt": "belt conveyor",
    "cone": "cone crusher",
    "cyclone": "hydrocyclone",
    "drying_screen": "dewatering screen, decks dashed",
    "grizzly_feeder": "grizzly feeder, bars dashed",
    "gyratory": "gyratory crusher",
    "impactor": "impact crusher",
    "jaw": "jaw crusher",
    "pile": "stockpile",
    "press_rolls": "high-pressure grinding rolls",
    "rolls": "roll crusher",
    "screen": "screen, decks dashed",
    "screw": "screw classifier",
    "section": "part of the plant, on its own sheet",
    "shaft_impactor": "vertical shaft impactor",
    "upflow": "upflow classifier",
    "water": "supply of water",
}  # where the name of a symbol says too little

Entry = tuple[str, tuple[Item, ...]]


def legend(diagram: Diagram, room: float) -> Block:
    """What occurs on the diagram, in as many columns as the room holds."""
    entries = [*_symbols(diagram), *_lines(diagram), *_marks(diagram)]
    widths = [SWATCH[0] + GAP + width_of(text, TEXT) + COLUMN_GAP for text, _ in entries]
    fitting = (n for n in range(1, len(entries)) if _across(widths, n) <= room)
    rows = next(fitting, len(entries))
    items: list[Item] = list(heading("Legend", room))
    x = 0.0
    for first in range(0, len(entries), rows):
        for n, (text, swatch) in enumerate(entries[first : first + rows]):
            y = HEADING_ROOM + SWATCH[1] * n
            items += [moved(item, (x, y)) for item in swatch]
            at = (x + SWATCH[0] + GAP, y + SWATCH[1] / 2 + 0.8)
            shown = fitted(text, room - at[0], TEXT)
            items.append(Words(shown, at, "table", TEXT))
        x += max(widths[first : first + rows])
    return Block("legend", room, HEADING_ROOM + SWATCH[1] * rows, tuple(items))


def _across(widths: list[float], rows: int) -> float:
    """The width of all entries in columns of so many."""
    return fsum(max(widths[first : first + rows]) for first in range(0, len(widths), rows))


def _symbols(diagram: Diagram) -> Iterator[Entry]:
    """The symbols scaled to their room; those that differ in their decks or outlets once."""
    used = {called(placed.symbol): placed.symbol for placed in reversed(diagram.placed)}
    for text, name in sorted(used.items()):
        found = symbol(name)
        scale = min((SWATCH[0] - 1.0) / found.width, (SWATCH[1] - 1.2) / found.height, 1.0)
        x, y = (SWATCH[0] - scale * found.width) / 2, (SWATCH[1] - scale * found.height) / 2
        yield text, tuple(moved(shape, (x, y), scale) for shape in found.shapes)


def called(name: str) -> str:
    """The words for a symbol, whatever the number of its decks or outlets."""
    base, _, count = name.rpartition("_")
    kind = base if count.isdigit() else name
    return CALLED.get(kind, kind.replace("_", " "))


def _lines(diagram: Diagram) -> Iterator[Entry]:
    kinds = (
        ("stream of dry rock", "stream", LINE),
        ("stream of slurry", "stream", OUTLINE),
        ("return stream", "return", LINE),
        ("water", "water", LINE),
    )
    drawn = {style_of(route) for route in diagram.routes if route.flag.revised != "removed"}
    y = SWATCH[1] / 2
    for text, layer, width in kinds:
        for style in sorted(drawn):
            if style[:2] == (layer, width):
                line = ((0.5, y), (SWATCH[0] - 0.5, y))
                yield text, (Stroke(line, style[0], width, style[2], arrow=True),)
    if any(route.hops for route in diagram.routes):
        yield "lines cross, not joined", tuple(_hop((SWATCH[0] / 2, y)))


def _hop(at: Point) -> Iterator[Item]:
    x, y = at
    yield Stroke(((x - 4, y), (x - HOP, y)), "stream", LINE)
    yield Arc(at, HOP, 180.0, 360.0, "stream", LINE)
    yield Stroke(((x + HOP, y), (x + 4, y)), "stream", LINE)
    yield Stroke(((x, y - 2.5), (x, y + 2.5)), "stream", LINE)


def _marks(diagram: Diagram) -> Iterator[Entry]:
    middle = (SWATCH[0] / 2, SWATCH[1] / 2)
    if diagram.routes:
        yield "number of a stream", tuple(flag(Flag("1", middle), of=""))
    if diagram.connectors:
        plate = ((1.5, 1.2), (9.5, 1.2), (9.5, 3.6), (5.5, 5.0), (1.5, 3.6))
        yield "goes on, on another sheet", (Stroke(plate, "connector", LINE, closed=True),)
    if any(placed.several for placed in diagram.placed):
        front, behind = Box(2.0, 2.0, 6.0, 3.2), Box(3.2, 0.8, 6.0, 3.2)
        both = (Stroke(corners(box), "machine", OUTLINE, closed=True, fill="paper")
                for box in (behind, front))  # fmt: skip
        yield "equal machines in parallel", tuple(both)
    yield from _revised(diagram)
    asked = {placed.attention for placed in diagram.placed}
    box = Box(1.5, 0.9, SWATCH[0] - 3.0, SWATCH[1] - 1.8)
    edge = outline(box, HEAVY, "attention")
    if asked & {"watch", "over"}:
        yield "near or over a limit", (edge,)
    if "void" in asked:
        dotted = Stroke(edge.points, edge.layer, HEAVY, "dotted", closed=True)
        yield "void: after an overload", (dotted,)


def _revised(diagram: Diagram) -> Iterator[Entry]:
    """The marks of a revision."""
    drawn = {placed.revised for placed in diagram.placed}
    drawn |= {route.flag.revised for route in diagram.routes}
    if not drawn - {""}:
        return
    room = Box(1.5, 1.2, SWATCH[0] - 3.0, SWATCH[1] - 2.4)
    yield "changed in this revision", tuple(cloud(room, of=""))
    place = Box((SWATCH[0] - TRIANGLE[0]) / 2, (SWATCH[1] - TRIANGLE[1]) / 2, *TRIANGLE)
    yield "mark of the revision", tuple(triangle(place, diagram.mark, of=""))
    if "removed" in drawn:
        box = Box(2.0, 1.0, SWATCH[0] - 4.0, SWATCH[1] - 2.0)
        dotted = Stroke(corners(box), "machine", LINE, "dotted", closed=True)
        yield "removed; ex: its number before", (dotted, *crossed(box, of=""))
