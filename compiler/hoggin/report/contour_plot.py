"""A sweep over two settings as SVG: lines of equal value of a result, the limits of the
requirements, and the region where all are met."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from hoggin.report.axes import Axis, bounds, flat, tick_decimals, ticks
from hoggin.report.contouring import Grid, contours, region
from hoggin.report.documents import file_stems
from hoggin.report.paths import Point, path, pixel
from hoggin.report.sweep import feasible_words, where_met
from hoggin.report.templating import render
from hoggin.report.wording import PREDICTION, fixed, full_subtitle, shorten, significant
from hoggin.studies.sweep.document import Sweep, SweptOutput, SweptRequirement, SweptSetting

WIDTH, LEFT, RIGHT, TOP, HEIGHT = 820.0, 72.0, 28.0, 98.0, 420.0
KEY_TEXT, KEY_LINE = 112, 20.0
LEVELS = 8
BADGE = 9.0
BADGE_TEXT = 110.0  # room for the words beside one
MOST_BADGES = 16


@dataclass(frozen=True, slots=True)
class Label:
    at: Point
    text: str


@dataclass(frozen=True, slots=True)
class Badge:
    at: Point
    number: int
    text: str
    anchor: str  # the side of the text that is at the badge


@dataclass(frozen=True, slots=True)
class Key:
    """A line of the key, led by a swatch: the "region", a "limit" with its number, or nothing."""

    words: tuple[str, ...]
    swatch: str = ""
    mark: int | None = None


@dataclass(frozen=True)
class Field:
    """The field of the two settings: axes, nodes in rising order, and where they stand in the
    sweep."""

    across: Axis
    up: Axis
    x: Grid
    y: Grid
    order: tuple[NDArray[np.intp], NDArray[np.intp]]

    def grid(self, values: Iterable[float | None]) -> Grid:
        """Values of all steps as (len(y), len(x))."""
        plain = np.array([math.nan if value is None else value for value in values])
        steps = plain.reshape(len(self.x), len(self.y))
        rows: Grid = steps[np.ix_(*self.order)].T
        return rows

    def place(self, line: Grid) -> list[Point]:
        return [(self.across.at(float(x)), self.up.at(float(y))) for x, y in line]


def plots(sweep: Sweep) -> dict[str, str]:
    """A plot for each result by file name."""
    field = _field(sweep)
    shared = _limits(sweep, field)
    polygons = _region(sweep, field)
    stems = file_stems(output.name for output in sweep.outputs)
    return {
        f"{stem}.svg": _plot(sweep, field, output, shared, polygons)
        for stem, output in zip(stems, sweep.outputs, strict=True)
    }


def _field(sweep: Sweep) -> Field:
    first, second = sweep.settings
    orders = (np.argsort(first.values, kind="stable"), np.argsort(second.values, kind="stable"))
    x, y = np.array(first.values)[orders[0]], np.array(second.values)[orders[1]]
    across = Axis(float(x[0]), float(x[-1]), LEFT, WIDTH - RIGHT)
    up = Axis(float(y[0]), float(y[-1]), TOP + HEIGHT, TOP)
    return Field(across, up, x, y, orders)


@dataclass(frozen=True, slots=True)
class LimitLine:
    """Where a requirement, by its number, is just met; `text` says which of its sides."""

    requirement: int
    text: str
    path: list[Point]


def _limits(sweep: Sweep, field: Field) -> list[LimitLine]:
    """The lines where each requirement is just met. Where its result is among the outputs, the two
    sides of a range are told apart."""
    found = []
    for place, one in enumerate(sweep.requirements):
        sides = list(_sides(sweep, field, place)) or [("", _forgiven(one, field), 0.0)]
        for text, grid, level in sides:
            lines = contours(field.x, field.y, grid, level)
            found += [LimitLine(place + 1, text, field.place(line)) for line in lines]
    return found


def _sides(sweep: Sweep, field: Field, requirement: int) -> Iterator[tuple[str, Grid, float]]:
    """Each side of a requirement on an output: words, the output's values, and the limit. A band's
    margin is left to what rating forgives it."""
    for output in sweep.outputs:
        for limit in output.limits:
            if limit.requirement != requirement or output.unit == "% passing":
                continue
            for side, sign in ((limit.low, "at least"), (limit.high, "at most")):
                if side is not None:
                    text = f"{sign} {significant(side, 5)} {output.unit}".strip()
                    yield text, field.grid(output.values), side


def _forgiven(one: SweptRequirement, field: Field) -> Grid:
    return field.grid(None if m is None else m + one.slack for m in one.margins)


def _region(sweep: Sweep, field: Field) -> str:
    """Path of the region where all requirements are met."""
    if not sweep.requirements:
        return ""
    polygons = region(field.x, field.y, [_forgiven(one, field) for one in sweep.requirements])
    rings = [field.place(ring) for polygon in polygons for ring in polygon]
    return " ".join(f"{path(ring)} Z" for ring in rings)


def _plot(
    sweep: Sweep,
    field: Field,
    output: SweptOutput,
    limits: Sequence[LimitLine],
    polygons: str,
) -> str:
    grid = field.grid(output.values)
    lines, labels, told = _lines(field, grid, output)
    taken = [label.at for label in labels]
    badges: list[Badge] = []
    for line in sorted(limits, key=lambda line: -_length(line.path))[:MOST_BADGES]:
        at = _label_place(line.path, [*taken, *(badge.at for badge in badges)])
        if at is not None:
            left = at[0] > WIDTH - RIGHT - BADGE_TEXT
            badges.append(Badge(at, line.requirement, line.text, "end" if left else "start"))
    keys = _keys(sweep, limits, bool(polygons), told)
    first, second = sweep.settings
    foot = TOP + HEIGHT
    return render(
        "contours.svg.j2",
        {"number": pixel},
        width=WIDTH,
        height=foot + 66 + KEY_LINE * sum(len(key.words) for key in keys) + 20,
        left=LEFT,
        right=WIDTH - RIGHT,
        top=TOP,
        foot=foot,
        title=shorten(f"{output.name}, {output.unit}" if output.unit else output.name, 80),
        plant=shorten(full_subtitle(sweep), 125),
        feasible=shorten(feasible_words(sweep), 125),
        region=polygons,
        lines=[path(line) for line in lines],
        labels=labels,
        limits=[path(line.path) for line in limits],
        badges=badges,
        badge=BADGE,
        nodes=_nodes(sweep, field),
        verticals=field.across.marks(9),
        horizontals=field.up.marks(7),
        across=_named(first),
        up=_named(second),
        keys=keys,
        key_top=foot + 66,
        key_line=KEY_LINE,
        prediction=PREDICTION,
    )


def _named(setting: SweptSetting) -> str:
    return f"{setting.name}, {setting.unit}" if setting.unit else setting.name


def _lines(
    field: Field, grid: Grid, output: SweptOutput
) -> tuple[list[list[Point]], list[Label], str]:
    """Lines of equal value, their labels, and what is to be said in words instead."""
    known = grid[np.isfinite(grid)]
    if not known.size:
        return [], [], "No step gives this result a value."
    low, high = bounds(known.tolist())
    if flat(low, high):
        return [], [], f"The same everywhere: {significant(low, 4)} {output.unit}".strip() + "."
    levels = ticks(low, high, LEVELS)
    decimals = tick_decimals(levels)
    lines: list[list[Point]] = []
    labels: list[Label] = []
    for level in levels:
        paths = [field.place(line) for line in contours(field.x, field.y, grid, level)]
        lines += paths
        at = _label_place(max(paths, key=_length, default=[]), [label.at for label in labels])
        if at is not None:
            labels.append(Label(at, fixed(level, decimals)))
    least, most = (f"{significant(v, 4)} {output.unit}".strip() for v in (low, high))
    return lines, labels, f"Thin lines: equal value. From {least} to {most} on this field."


def _label_place(path: Sequence[Point], taken: Sequence[Point]) -> Point | None:
    """The place of a line that is farthest from other labels, not too near the frame."""
    inside = [
        at
        for at in path
        if LEFT + 24 < at[0] < WIDTH - RIGHT - 24 and TOP + 14 < at[1] < TOP + HEIGHT - 14
    ]
    if not inside:
        return None
    middle = inside[len(inside) // 2]

    def room(at: Point) -> tuple[float, float]:
        nearest = min((math.dist(at, other) for other in taken), default=math.inf)
        return round(min(nearest, 90.0), 2), round(-math.dist(at, middle), 2)

    return max(inside, key=room)


def _length(path: Sequence[Point]) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(path))


def _nodes(sweep: Sweep, field: Field) -> list[tuple[float, float, str]]:
    """Every step: "met", "missed" or "none" where it has no balance."""
    first, second = sweep.settings
    found = []
    for step in range(sweep.steps):
        x, y = divmod(step, len(second.values))
        kind = "none" if sweep.refused[step] else "met" if sweep.all_met[step] else "missed"
        at = field.across.at(first.values[x]), field.up.at(second.values[y])
        found.append((*at, kind))
    return found


def _keys(sweep: Sweep, limits: Sequence[LimitLine], feasible: bool, told: str) -> list[Key]:
    keys = [Key(_words(told))]
    if feasible:
        keys.append(Key(_words("all requirements are met here"), swatch="region"))
    inner: list[str] = []
    drawn = {line.requirement for line in limits}
    for place, one in enumerate(sweep.requirements, start=1):
        if place in drawn:
            said = f"{one.text}: just met on such a line; {where_met(one, sweep)}"
            keys.append(Key(_words(said), swatch="limit", mark=place))
        else:
            inner.append(f"{one.text}: {where_met(one, sweep)}")
    keys += [Key(_words(said)) for said in inner]
    nodes = "Points: a step each, full where all requirements are met, hollow where not."
    if any(sweep.refused):
        missing = sum(map(bool, sweep.refused))
        nodes += f" Crosses: no balance, at {missing} of {sweep.steps}; blank round them."
    keys.append(Key(_words(nodes)))
    if any(setting.scale == "steps" for setting in sweep.settings):
        guide = "A setting with values of a list has none between: lines there only guide the eye."
        keys.append(Key(_words(guide)))
    return keys


def _words(text: str) -> tuple[str, ...]:
    return tuple(textwrap.wrap(shorten(text, 3 * KEY_TEXT), KEY_TEXT))
