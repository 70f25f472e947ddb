"""A sweep over one setting as SVG: a panel for each result, with its limits and the stretch where
all requirements are met."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from itertools import pairwise

from hoggin.report.axes import Axis, roomy
from hoggin.report.paths import Point, path, pixel
from hoggin.report.sweep import feasible_words
from hoggin.report.templating import render
from hoggin.report.wording import PREDICTION, full_subtitle, shorten, significant
from hoggin.studies.sweep.document import Sweep, SweptOutput, SweptSetting

WIDTH, LEFT, TOP = 820.0, 66.0, 86.0
PANEL_WIDTH, PANEL_HEIGHT = 316.0, 150.0
COLUMN_STEP, ROW_STEP = 394.0, 236.0
COLUMNS = 2
KEY_TEXT = 122
LIMIT_TEXT, ENOUGH = 110.0, 14.0  # pixels that a limit's words take, and the room they need
PLAIN_ROOM, LIMIT_ROOM = 0.08, 0.13  # above and below the curve; words stand beyond a limit
FAR = 1.0  # a limit this many spreads of the curve away is told in words, and not drawn


@dataclass(frozen=True, slots=True)
class Line:
    """A limit across the panel, and its words at one end of it."""

    y: float
    text: str
    text_x: float
    text_y: float
    anchor: str


@dataclass(frozen=True, slots=True)
class Panel:
    heading: str
    left: float
    top: float
    right: float
    foot: float
    bands: tuple[tuple[float, float], ...]
    verticals: tuple[tuple[float, str], ...]
    horizontals: tuple[tuple[float, str], ...]
    paths: tuple[str, ...]
    points: tuple[tuple[float, float, bool], ...]
    limits: tuple[Line, ...]
    notes: tuple[str, ...]
    below: str


def plot(sweep: Sweep) -> str:
    """The panels of a sweep over one setting."""
    setting = sweep.settings[0]
    panels = [_panel(sweep, setting, output, n) for n, output in enumerate(sweep.outputs)]
    rows = -(-len(panels) // COLUMNS)
    key_top = TOP + ROW_STEP * rows + 26
    keys = _keys(sweep)
    return render(
        "sweep.svg.j2",
        {"number": pixel},
        width=WIDTH,
        height=key_top + 20.0 * len(keys) + 26,
        left=LEFT,
        title=shorten(f"{setting.name}: what it does", 80),
        plant=shorten(full_subtitle(sweep), 125),
        feasible=shorten(feasible_words(sweep), 125),
        panels=panels,
        has_bands=bool(sweep.feasible),
        key_top=key_top,
        keys=keys,
        prediction=PREDICTION,
    )


def _keys(sweep: Sweep) -> list[str]:
    said = []
    if sweep.feasible:
        said.append("Hatched: all requirements are met.")
    if sweep.requirements:
        said.append("Full points: all requirements are met at that step; hollow points: not.")
        said.append("Dashed: a limit that a requirement sets to this result.")
    missing = sum(map(bool, sweep.refused))
    if missing:
        said.append(f"Left out, for want of a balance: {missing} of {sweep.steps} steps.")
    if sweep.settings[0].scale == "steps":
        said.append("The setting has these values and none between: the points are not joined.")
    return textwrap.wrap(" ".join(said), KEY_TEXT)


def _panel(sweep: Sweep, setting: SweptSetting, output: SweptOutput, place: int) -> Panel:
    row, column = divmod(place, COLUMNS)
    left, top = LEFT + COLUMN_STEP * column, TOP + 48 + ROW_STEP * row
    right, foot = left + PANEL_WIDTH, top + PANEL_HEIGHT
    across = Axis(*_span(setting), left, right)
    known = [value for value in output.values if value is not None]
    curve = roomy(known) if known else (0.0, 1.0)
    near, far = _limits(output, curve)
    room = LIMIT_ROOM if near else PLAIN_ROOM
    up = Axis(*(roomy([*known, *near], room) if known else curve), foot, top)
    order = sorted(range(sweep.steps), key=lambda step: setting.values[step])
    steps = [(setting.values[step], output.values[step], sweep.all_met[step]) for step in order]
    return Panel(
        heading=shorten(f"{output.name}, {output.unit}" if output.unit else output.name, 52),
        left=left,
        top=top,
        right=right,
        foot=foot,
        bands=tuple((across.at(low), across.at(high)) for low, high in sweep.feasible),
        verticals=tuple(across.marks(6)),
        horizontals=tuple(up.marks(4)),
        paths=tuple(_paths(steps, across, up)) if setting.scale == "range" else (),
        points=tuple((across.at(x), up.at(y), met) for x, y, met in steps if y is not None),
        limits=tuple(_lines(output, near, up, _curve(steps, across, up), (left, right))),
        notes=(*far, *([] if known else ["no step gives it a value"])),
        below=f"{setting.name}, {setting.unit}" if setting.unit else setting.name,
    )


def _span(setting: SweptSetting) -> tuple[float, float]:
    low, high = min(setting.values), max(setting.values)
    room = 0.03 * (high - low)
    return low - room, high + room


def _limits(output: SweptOutput, curve: tuple[float, float]) -> tuple[list[float], list[str]]:
    """Limits near enough to be drawn, and the others in words."""
    low, high = curve
    reach = FAR * (high - low)
    near, far = [], []
    for limit in output.limits:
        for side in (limit.low, limit.high):
            if side is None:
                continue
            if low - reach <= side <= high + reach:
                near.append(side)
            else:
                where = "below" if side < low else "above"
                told = f"{significant(side, 5)} {output.unit}".strip()
                far.append(f"limit {told} lies far {where}")
    return near, far


def _lines(
    output: SweptOutput, near: list[float], up: Axis, curve: list[Point], ends: Point
) -> list[Line]:
    """The limits that are drawn. The words of a lower one stand below it, of an upper one above,
    unless the frame is there; at the end where the curve leaves them more room."""
    found = []
    for limit in output.limits:
        for side, sign, away in ((limit.low, "at least", 12.0), (limit.high, "at most", -4.0)):
            if side is None or side not in near:
                continue
            y = up.at(side)
            fits = up.end + 12 < y + away < up.start - 2
            text_y = y + away if fits else y + 8 - away
            room = {end: _room(curve, end, text_y) for end in ends}
            left = room[ends[0]] > room[ends[1]]
            found.append(
                Line(
                    y=y,
                    text=f"{sign} {significant(side, 5)} {output.unit}".strip(),
                    text_x=ends[0] + 5 if left else ends[1] - 5,
                    text_y=text_y,
                    anchor="start" if left else "end",
                )
            )
    return found


def _curve(steps: list[tuple[float, float | None, bool]], across: Axis, up: Axis) -> list[Point]:
    """Places along the curve, close to one another."""
    known = [(across.at(x), up.at(y)) for x, y, _ in steps if y is not None]
    dense = list(known)
    for (x0, y0), (x1, y1) in pairwise(known):
        dense += [(x0 + (x1 - x0) * n / 8, y0 + (y1 - y0) * n / 8) for n in range(1, 8)]
    return dense


def _room(curve: list[Point], end: float, text_y: float) -> float:
    """How far the curve stays from words at an end of the panel."""
    beside = (abs(y - (text_y - 4)) for x, y in curve if abs(x - end) < LIMIT_TEXT)
    return min(min(beside, default=ENOUGH), ENOUGH)


def _paths(steps: list[tuple[float, float | None, bool]], across: Axis, up: Axis) -> list[str]:
    """The curve in pieces: it breaks where a step has no value."""
    return [
        path([(across.at(x0), up.at(y0)), (across.at(x1), up.at(y1))])
        for (x0, y0, _), (x1, y1, _) in pairwise(steps)
        if y0 is not None and y1 is not None
    ]
