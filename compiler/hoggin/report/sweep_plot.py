"""A sweep over one setting as SVG: a panel for each result, with its limits and the stretch where
all requirements are met."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from hoggin.report.chart.model import (
    Axis,
    Chart,
    Item,
    Key,
    Limit,
    Markers,
    Panel,
    Point,
    Series,
    box,
)  # fmt: skip
from hoggin.report.chart.scale import linear, roomy
from hoggin.report.chart.svg import svg
from hoggin.report.sweep import feasible_words, with_unit
from hoggin.report.wording import full_subtitle, shorten, significant
from hoggin.studies.sweep.document import Sweep, SweptOutput

_PLAIN_ROOM, _LIMIT_ROOM = 0.08, 0.14  # above and below the curve; words are beyond a limit
_FAR = 1.0  # a limit this many spreads of the curve away is reported in words, and not drawn


def plot(sweep: Sweep) -> str:
    """The panels of a sweep over one setting."""
    chart = Chart(
        title=f"Effect of {sweep.settings[0].name}",
        about=full_subtitle(sweep),
        said=feasible_words(sweep),
        panels=tuple(_panel(sweep, output) for output in sweep.outputs),
        keys=(Key(" ".join(_words(sweep))),),
        columns=2,
    )
    return svg(chart)


def _words(sweep: Sweep) -> Iterator[str]:
    if sweep.feasible:
        yield "Hatched: all requirements are met."
    if sweep.requirements:
        yield "Full points: all requirements are met; hollow points: not all are met."
        yield "Dashed: the limit of a requirement on this result."
    missing = sum(map(bool, sweep.refused))
    if missing:
        yield f"Left out because they have no balance: {missing} of {sweep.steps} steps."
    if sweep.settings[0].scale == "steps":
        yield "The setting has no values between the points, so they are not joined."


def _panel(sweep: Sweep, output: SweptOutput) -> Panel:
    (setting,) = sweep.settings
    known = [value for value in output.values if value is not None]
    near, notes = _limits(output, *(roomy(known) if known else (0.0, 1.0)))
    room = _LIMIT_ROOM if near else _PLAIN_ROOM
    low, high = roomy([*known, *(limit.value for limit in near)], room) if known else (0.0, 1.0)
    steps = sorted(zip(setting.values, output.values, sweep.all_met, strict=True))
    met, missed = (
        tuple((x, y) for x, y, ok in steps if y is not None and ok is wanted)
        for wanted in (True, False)
    )
    items: list[Item] = [box(*stretch, low, high, "slant") for stretch in sweep.feasible]
    if setting.scale == "range":
        items += [Series(points) for points in _pieces(steps)]
    items += [Markers(met, "disc", 3.2), Markers(missed, "ring", 3.2), *near]
    return Panel(
        across=_across(sweep),
        up=linear(low, high, 4),
        items=tuple(items),
        height=150,
        heading=shorten(with_unit(output), 50),
        note="; ".join([*notes, *([] if known else ["no step gives it a value"])]),
    )


def _across(sweep: Sweep) -> Axis:
    (setting,) = sweep.settings
    low, high = min(setting.values), max(setting.values)
    room = 0.03 * (high - low)
    return linear(low - room, high + room, 6, with_unit(setting))


def _limits(output: SweptOutput, low: float, high: float) -> tuple[list[Limit], list[str]]:
    """Limits near enough to be drawn, and the others in words."""
    reach = _FAR * (high - low)
    near, far = [], []
    for limit in output.limits:
        for side, sign in ((limit.low, "at least"), (limit.high, "at most")):
            if side is None:
                continue
            told = f"{significant(side, 5)} {output.unit}".strip()
            if low - reach <= side <= high + reach:
                near.append(Limit(side, f"{sign} {told}"))
            else:
                far.append(f"limit {told} is far {'below' if side < low else 'above'}")
    return near, far


def _pieces(steps: list[tuple[float, float | None, bool]]) -> Iterator[tuple[Point, ...]]:
    """The curve, broken where a step has no value."""
    for known, run in groupby(steps, key=lambda step: step[1] is not None):
        if known:
            yield tuple((x, y) for x, y, _ in run if y is not None)
