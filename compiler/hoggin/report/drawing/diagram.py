"""A flowsheet laid out, before it is set on a sheet: symbols, routes and labels at their places.

All lengths are millimetres at the scale of the sheet, from the top left corner; y goes down.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Point = tuple[float, float]
Side = Literal["top", "foot", "left", "right"]
StreamKind = Literal["rock", "slurry", "water"]
Revised = Literal["", "changed", "new", "removed"]  # since an earlier revision


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle: its left top corner and its size."""

    x: float
    y: float
    width: float
    height: float

    def grown(self, by: float) -> Box:
        return Box(self.x - by, self.y - by, self.width + 2 * by, self.height + 2 * by)

    def moved(self, by: Point) -> Box:
        return Box(self.x + by[0], self.y + by[1], self.width, self.height)

    def around(self, other: Box) -> Box:
        """The least box that holds both."""
        left, top = min(self.x, other.x), min(self.y, other.y)
        right = max(self.x + self.width, other.x + other.width)
        foot = max(self.y + self.height, other.y + other.height)
        return Box(left, top, right - left, foot - top)

    def meets(self, other: Box, clear: float = 0.0) -> bool:
        """Whether two boxes overlap, or come nearer than `clear`."""
        return (
            self.x < other.x + other.width + clear
            and other.x < self.x + self.width + clear
            and self.y < other.y + other.height + clear
            and other.y < self.y + self.height + clear
        )


@dataclass(frozen=True, slots=True)
class Label:
    """Lines of text in a box, the first of them in bold; `revised` of them, the last, say what
    differs from an earlier revision."""

    box: Box
    lines: tuple[str, ...]
    anchor: Literal["start", "middle", "end"] = "start"
    revised: int = 0


@dataclass(frozen=True, slots=True)
class Placed:
    """The symbol of a feed, machine or product. `decks` are a screen's, from the top."""

    name: str  # as in the plant's text
    symbol: str  # of `drawing.symbols`
    box: Box
    label: Label
    decks: int = 0
    several: bool = False  # equal machines in parallel
    attention: Literal["", "watch", "over", "void"] = ""
    revised: Revised = ""


@dataclass(frozen=True, slots=True)
class Flag:
    """The number of a stream, on its line."""

    number: str
    centre: Point
    revised: Revised = ""


@dataclass(frozen=True, slots=True)
class Route:
    """The line of a stream: corners from its source to its target, every piece upright or level.

    `hops` are the points at which it jumps over another line.
    """

    stream: str  # its name in the results
    points: tuple[Point, ...]
    flag: Flag
    kind: StreamKind = "rock"
    returns: bool = False
    hops: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class Connector:
    """The end of a route that goes on, on another sheet."""

    stream: str
    number: str
    at: Point
    leaves: bool  # it goes to the other sheet; else it comes from there
    sheet: int  # the number of the other sheet
    words: str  # what is at the other end: "secondary"


@dataclass(frozen=True, slots=True)
class Diagram:
    """The part of a plant that is on one sheet, laid out."""

    title: str  # of the section; "" for the whole plant
    width: float
    height: float
    placed: tuple[Placed, ...]
    routes: tuple[Route, ...]
    connectors: tuple[Connector, ...] = ()
    mark: str = ""  # of the revision in which things are revised
