"""What a drawing is made of: sheets of strokes, texts and symbols. Every backend writes these.

All lengths are millimetres on paper, from the top left corner of the sheet; y goes down.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from hoggin.report.drawing.diagram import Point

Layer = Literal[
    "frame", "machine", "stream", "return", "water", "number", "tag", "table", "connector",
    "attention", "revision",
]  # fmt: skip
Dash = Literal["solid", "dashed", "dotted", "chain"]
Fill = Literal["none", "paper", "tint", "ink"]


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line through points; closed, it may be filled. `of` is the key of what it belongs to:
    "machine primary", "stream 7", or "" for the sheet itself."""

    points: tuple[Point, ...]
    layer: Layer
    width: float = 0.35
    dash: Dash = "solid"
    closed: bool = False
    fill: Fill = "none"
    arrow: bool = False  # a filled head at its end
    of: str = ""


@dataclass(frozen=True, slots=True)
class Circle:
    centre: Point
    radius: float
    layer: Layer
    width: float = 0.35
    fill: Fill = "none"
    of: str = ""


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of a circle, clockwise as seen on the sheet, from one angle to another, in degrees from
    the right."""

    centre: Point
    radius: float
    start: float
    end: float
    layer: Layer
    width: float = 0.35
    of: str = ""


@dataclass(frozen=True, slots=True)
class Words:
    """One line of text; `at` is on its base line. `size` is the size of the type."""

    text: str
    at: Point
    layer: Layer
    size: float = 2.5
    anchor: Literal["start", "middle", "end"] = "start"
    bold: bool = False
    of: str = ""


@dataclass(frozen=True, slots=True)
class Use:
    """A symbol of the drawing, with its left top corner at a point."""

    symbol: str
    at: Point
    of: str = ""
    layer: Layer = "machine"


Shape = Stroke | Circle | Arc | Words
Item = Shape | Use


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of paper. Items are drawn in their order."""

    paper: str  # "A3"
    width: float
    height: float
    title: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A set of sheets, and the symbols that they use by name."""

    title: str
    sheets: tuple[Sheet, ...]
    symbols: dict[str, tuple[Shape, ...]]
