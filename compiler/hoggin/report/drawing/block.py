"""Parts of a sheet: items from a left top corner of their own, moved to their place later."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TypeVar

from hoggin.report.drawing.diagram import Box, Point
from hoggin.report.drawing.lettering import fitted, width_of
from hoggin.report.drawing.model import Item, Layer, Shape, Stroke, Use, Words

THIN, LINE, OUTLINE, HEAVY = 0.18, 0.35, 0.5, 0.7  # widths of lines, of the series of ISO 128
HEADING = 2.5  # size of the heading of a part
HEADING_ROOM = 5.0
PAD = 0.9  # between a ruling and the words beside it

_Any = TypeVar("_Any", Shape, Item)


@dataclass(frozen=True, slots=True)
class Block:
    """A part of a sheet, from (0, 0) to its width and height."""

    name: str
    width: float
    height: float
    items: tuple[Item, ...]

    def scaled(self, scale: float) -> Block:
        """The block at a scale, with lines of the same widths."""
        items = tuple(moved(item, (0.0, 0.0), scale) for item in self.items)
        return replace(self, width=scale * self.width, height=scale * self.height, items=items)

    def box(self, at: Point) -> Box:
        """What it takes of a sheet with its left top corner at a point."""
        return Box(*at, self.width, self.height)


def moved(item: _Any, by: Point, scale: float = 1.0) -> _Any:
    """An item scaled about (0, 0) and then moved; the widths of its lines stay."""

    def there(point: Point) -> Point:
        return (scale * point[0] + by[0], scale * point[1] + by[1])

    match item:
        case Stroke():
            return replace(item, points=tuple(map(there, item.points)))
        case Words():
            return replace(item, at=there(item.at), size=scale * item.size)
        case Use():
            return replace(item, at=there(item.at), symbol=at_scale(item.symbol, scale))
        case _:
            return replace(item, centre=there(item.centre), radius=scale * item.radius)


def at_scale(symbol: str, scale: float) -> str:
    """The name of a symbol at a scale: it is a symbol of its own."""
    return symbol if scale == 1.0 else f"{symbol} x {scale:g}"


def scale_of(name: str) -> tuple[str, float]:
    """What `at_scale` made of a name: the plain name and the scale."""
    plain, _, scale = name.partition(" x ")
    return plain, float(scale or 1.0)


def rule(a: Point, b: Point, width: float = THIN, layer: Layer = "table") -> Stroke:
    """A straight line."""
    return Stroke((a, b), layer, width)


def outline(box: Box, width: float, layer: Layer = "table") -> Stroke:
    """The edge of a rectangle."""
    return Stroke(corners(box), layer, width, closed=True)


def corners(box: Box) -> tuple[Point, ...]:
    right, foot = box.x + box.width, box.y + box.height
    return ((box.x, box.y), (right, box.y), (right, foot), (box.x, foot))


def heading(text: str, room: float, note: str = "") -> Iterator[Words]:
    """The heading of a part, at its top, with a note after it in plain type."""
    shown = fitted(text, room, HEADING, bold=True)
    yield Words(shown, (0.0, 3.2), "table", HEADING, bold=True)
    start = width_of(shown, HEADING, bold=True) + 2.0
    if note and room - start > 10.0:
        yield Words(fitted(note, room - start, 2.0), (start, 3.2), "table", 2.0)
