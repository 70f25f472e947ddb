"""A sweep over two settings as SVG: lines of equal value of a result, the limits of the
requirements, and the region where all are met."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from hoggin.report.chart.contouring import Grid, contours, region
from hoggin.report.chart.model import (
    Area,
    Axis,
    Chart,
    Item,
    Key,
    Marker,
    Markers,
    Panel,
    Point,
    Series,
)
from hoggin.report.chart.scale import bounds, flat, linear, tick_decimals, ticks
from hoggin.report.chart.svg import svg
from hoggin.report.documents import file_stems
from hoggin.report.sweep import feasible_words, where_met, with_unit
from hoggin.report.wording import fixed, full_subtitle, significant
from hoggin.studies.sweep.document import Sweep, SweptOutput, SweptRequirement, SweptSetting

_LEVELS = 8


@dataclass(frozen=True)
class Field:
    """The field of the two settings: nodes in rising order, and where they are in the sweep."""

    x: Grid
    y: Grid
    order: tuple[NDArray[np.intp], NDArray[np.intp]]

    def grid(self, values: Iterable[float | None]) -> Grid:
        """Values of all steps as (len(y), len(x))."""
        plain = np.array([math.nan if value is None else value for value in values])
        steps = plain.reshape(len(self.x), len(self.y))
        rows: Grid = steps[np.ix_(*self.order)].T
        return rows

    def lines(self, grid: Grid, level: float, like: Series) -> list[Series]:
        """The lines where the grid has a value; the longest has the tag."""
        found = sorted(contours(self.x, self.y, grid, level), key=self._length, reverse=True)
        tags = (like.tag, *("" for _ in found))
        return [
            Series(_points(line), like.weight, like.dash, tag=tag, badge=bool(tag) and like.badge)
            for line, tag in zip(found, tags, strict=False)
        ]

    def _length(self, line: Grid) -> float:
        """As shares of the field's sides."""
        steps = np.diff(line, axis=0) / (np.ptp(self.x), np.ptp(self.y))
        return float(np.hypot(steps[:, 0], steps[:, 1]).sum())


def plots(sweep: Sweep) -> dict[str, str]:
    """A plot for each result by file name."""
    field = _field(sweep)
    limits = [
        _limit(sweep, field, place, one) for place, one in enumerate(sweep.requirements, start=1)
    ]
    shared: list[Item] = [*_region(sweep, field), *_nodes(sweep)]
    stems = file_stems(output.name for output in sweep.outputs)
    return {
        f"{stem}.svg": _plot(sweep, field, output, limits, shared)
        for stem, output in zip(stems, sweep.outputs, strict=True)
    }


def _field(sweep: Sweep) -> Field:
    first, second = (np.array(setting.values) for setting in sweep.settings)
    orders = (np.argsort(first, kind="stable"), np.argsort(second, kind="stable"))
    return Field(first[orders[0]], second[orders[1]], orders)


def _limit(sweep: Sweep, field: Field, number: int, one: SweptRequirement) -> list[Series]:
    """The lines where a requirement is just met. Where its result is among the outputs, the two
    sides of a range are distinguished."""
    found = []
    sides = list(_sides(sweep, field, number - 1)) or [("", _forgiven(one, field), 0.0)]
    for text, grid, level in sides:
        like = Series((), 2.6, "9 5", tag=f"{number} {text}".strip(), badge=True)
        found += field.lines(grid, level, like)
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


def _region(sweep: Sweep, field: Field) -> list[Area]:
    """The region where all requirements are met."""
    if not sweep.requirements:
        return []
    polygons = region(field.x, field.y, [_forgiven(one, field) for one in sweep.requirements])
    rings = tuple(_points(ring) for polygon in polygons for ring in polygon)
    return [Area(rings, "slant", edge=False)] if rings else []


def _nodes(sweep: Sweep) -> tuple[Markers, ...]:
    """Every step: full where all is met, hollow where not, a cross where it has no balance."""
    first, second = sweep.settings
    places = [(x, y) for x in first.values for y in second.values]
    at_each: dict[Marker, list[Point]] = {"disc": [], "ring": [], "cross": []}
    for at, met, refused in zip(places, sweep.all_met, sweep.refused, strict=True):
        at_each["cross" if refused else "disc" if met else "ring"].append(at)
    radius = {"cross": 3.0}
    return tuple(Markers(tuple(p), kind, radius.get(kind, 1.8)) for kind, p in at_each.items())


def _plot(
    sweep: Sweep,
    field: Field,
    output: SweptOutput,
    limits: Sequence[Sequence[Series]],
    shared: Sequence[Item],
) -> str:
    lines, told = _lines(field, output)
    drawn = [line for one in limits for line in one]
    panel = Panel(
        across=_axis(sweep.settings[0], 9),
        up=_axis(sweep.settings[1], 7),
        items=(*shared, *lines, *drawn),
        height=420,
    )
    chart = Chart(
        title=with_unit(output),
        about=full_subtitle(sweep),
        said=feasible_words(sweep),
        panels=(panel,),
        keys=(Key(told), *_keys(sweep, limits, shared)),
    )
    return svg(chart)


def _axis(setting: SweptSetting, about: int) -> Axis:
    axis = linear(min(setting.values), max(setting.values), about, with_unit(setting))
    return replace(axis, lines=False)


def _lines(field: Field, output: SweptOutput) -> tuple[list[Series], str]:
    """Lines of equal value, and a sentence on them."""
    grid = field.grid(output.values)
    known = grid[np.isfinite(grid)]
    if not known.size:
        return [], "No step gives this result a value."
    low, high = bounds(known.tolist())
    least, most = (f"{significant(v, 4)} {output.unit}".strip() for v in (low, high))
    if flat(low, high):
        return [], f"The same at every step: {least}."
    levels = ticks(low, high, _LEVELS)
    decimals = tick_decimals(levels)
    lines = [
        line
        for level in levels
        for line in field.lines(grid, level, Series((), 1.1, tag=fixed(level, decimals)))
    ]
    return lines, f"Thin lines: equal value, from {least} to {most}."


def _keys(
    sweep: Sweep, limits: Sequence[Sequence[Series]], shared: Sequence[Item]
) -> Iterator[Key]:
    regions = tuple(item for item in shared if isinstance(item, Area))
    if regions:
        yield Key("all requirements are met here", regions)
    stated = list(zip(sweep.requirements, limits, strict=True))
    for one, lines in stated:
        if lines:
            yield Key(f"{one.text}: limit on this line; {where_met(one, sweep)}", (lines[0],))
    yield from (Key(f"{one.text}: {where_met(one, sweep)}") for one, lines in stated if not lines)
    nodes = "Points: one per step; full: all requirements are met; hollow: not all are met."
    missing = sum(map(bool, sweep.refused))
    if missing:
        nodes += f" Crosses, in blank areas: no balance, at {missing} of {sweep.steps} steps."
    yield Key(nodes)
    if any(setting.scale == "steps" for setting in sweep.settings):
        yield Key(
            "A setting with a list of values has no values between them: the lines only guide the "
            "eye."
        )


def _points(line: Grid) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in line)
