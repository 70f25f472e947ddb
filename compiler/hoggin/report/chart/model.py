"""What a chart is made of. All places are in the units of its axes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from hoggin.report.wording import PREDICTION

Point = tuple[float, float]
Points = tuple[Point, ...]
Marker = Literal["disc", "ring", "square", "frame", "up", "down", "cross"]
Fill = Literal[
    "blank", "light", "solid", "tint", "slant", "backslant", "upright", "level",
    "bold slant", "bold level", "dots",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Axis:
    """From `low`, at the left or the foot, to `high`. `marks` are values and their words."""

    low: float
    high: float
    marks: tuple[tuple[float, str], ...] = ()
    label: str = ""
    log: bool = False
    lines: bool = True  # a hair line at every mark


@dataclass(frozen=True, slots=True)
class Series:
    """A line through points. Its tag is on it; as a badge, in a ring, it is never left out."""

    points: Points
    weight: float = 2.2
    dash: str = ""
    faint: bool = False
    tag: str = ""
    badge: bool = False


@dataclass(frozen=True, slots=True)
class Markers:
    """A mark at each point."""

    points: Points
    kind: Marker = "disc"
    radius: float = 3.6


@dataclass(frozen=True, slots=True)
class Area:
    """A filled region: an outline, and rings inside it that are left out."""

    rings: tuple[Points, ...]
    fill: Fill
    edge: bool = True


@dataclass(frozen=True, slots=True)
class Limit:
    """A dashed line across the panel at a value of the upright axis, with words at one end."""

    value: float
    text: str = ""


@dataclass(frozen=True, slots=True)
class Callout:
    """Words near a point, left out where nothing is clear. A badge is never left out."""

    text: str
    point: Point
    badge: bool = False


@dataclass(frozen=True, slots=True)
class Words:
    """Words that begin just right of a point."""

    text: str
    point: Point


Item = Series | Markers | Area | Limit | Callout | Words


@dataclass(frozen=True, slots=True)
class Panel:
    """Two axes and what is drawn between them, in this order. `note` is under the heading."""

    across: Axis
    up: Axis
    items: tuple[Item, ...]
    height: float
    heading: str = ""
    note: str = ""
    frame: bool = True


@dataclass(frozen=True, slots=True)
class Key:
    """A line of the legend: the items it explains, as a swatch, and words. `inline` keys are in
    a row as far as they fit."""

    text: str
    swatch: tuple[Item, ...] = ()
    inline: bool = False


@dataclass(frozen=True, slots=True)
class Chart:
    """A sheet: a title, what it is of, what it says (in bold), panels in columns, and a legend."""

    title: str
    about: str
    panels: tuple[Panel, ...]
    keys: tuple[Key, ...] = ()
    said: str = ""
    note: str = PREDICTION
    columns: int = 1
    width: float = 820.0
    margin: float = 28.0


def box(left: float, right: float, foot: float, top: float, fill: Fill, edge: bool = True) -> Area:
    """An upright rectangle."""
    return Area((((left, foot), (left, top), (right, top), (right, foot)),), fill, edge)
