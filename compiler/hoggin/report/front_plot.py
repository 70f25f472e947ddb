"""The trade-off front as SVG: a panel for each pair of aims, a numbered point for each settings."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from itertools import combinations

from hoggin.report.axes import Axis, roomy
from hoggin.report.design import aim_name
from hoggin.report.paths import path, pixel
from hoggin.report.templating import render
from hoggin.report.wording import PREDICTION, full_subtitle, shorten
from hoggin.studies.design.document import Design

WIDTH, LEFT, RIGHT, TOP = 820.0, 86.0, 30.0, 84.0
PANEL_HEIGHT, ROW_STEP = 340.0, 420.0
KEY_TEXT = 118
_LABEL = 13.0  # pixels: points nearer than this to one that is numbered are not


@dataclass(frozen=True, slots=True)
class Point:
    x: float
    y: float
    label: str
    picked: bool


@dataclass(frozen=True, slots=True)
class Panel:
    top: float
    foot: float
    verticals: tuple[tuple[float, str], ...]
    horizontals: tuple[tuple[float, str], ...]
    path: str
    points: tuple[Point, ...]
    below: str
    beside: str


def plot(design: Design) -> str:
    """The front of a design of several aims."""
    pairs = list(combinations(range(len(design.aims)), 2))
    panels = [_panel(design, first, second, n) for n, (first, second) in enumerate(pairs)]
    key_top = TOP + ROW_STEP * len(panels) + 6
    keys = textwrap.wrap(_key(design), KEY_TEXT)
    return render(
        "front.svg.j2",
        {"number": pixel},
        width=WIDTH,
        height=key_top + 20.0 * len(keys) + 26,
        left=LEFT,
        right=WIDTH - RIGHT,
        title=shorten(f"Trade-off of {len(design.aims)} aims", 80),
        plant=shorten(full_subtitle(design), 125),
        panels=panels,
        key_top=key_top,
        keys=keys,
        prediction=PREDICTION,
    )


def _key(design: Design) -> str:
    lines = "Lines between points only lead the eye. " if len(design.aims) == 2 else ""
    return (
        "Each point is a plant that meets all requirements; no other that was found is as good in "
        f"all aims and better in one. {lines}Numbers are those of the table. The square is the "
        "point that the written revision is rounded from."
    )


def _panel(design: Design, first: int, second: int, place: int) -> Panel:
    top = TOP + ROW_STEP * place
    foot = top + PANEL_HEIGHT
    xs = [point.values[first] for point in design.frontier]
    ys = [point.values[second] for point in design.frontier]
    across, up = Axis(*roomy(xs), LEFT, WIDTH - RIGHT), Axis(*roomy(ys), foot, top)
    points: list[Point] = []
    for count, (x, y, one) in enumerate(zip(xs, ys, design.frontier, strict=True), start=1):
        at = across.at(x), up.at(y)
        near = any(
            p.label and abs(p.x - at[0]) < _LABEL and abs(p.y - at[1]) < _LABEL for p in points
        )
        points.append(Point(*at, "" if near and not one.picked else str(count), one.picked))
    line = ""
    if len(design.aims) == 2 and len(points) > 1:
        line = path((point.x, point.y) for point in sorted(points, key=_by_x))
    return Panel(
        top=top,
        foot=foot,
        verticals=tuple(across.marks(7)),
        horizontals=tuple(up.marks(6)),
        path=line,
        points=tuple(points),
        below=_named(design, first),
        beside=_named(design, second),
    )


def _by_x(point: Point) -> float:
    return point.x


def _named(design: Design, place: int) -> str:
    aim = design.aims[place]
    name = shorten(aim_name(aim), 80)
    return f"{name}, {aim.unit}" if aim.unit else name
