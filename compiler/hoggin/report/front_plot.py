"""The trade-off front as SVG: a panel for each pair of aims, a numbered point for each settings."""

from __future__ import annotations

from itertools import combinations

from hoggin.report.chart.model import Axis, Callout, Chart, Item, Key, Markers, Panel, Series
from hoggin.report.chart.scale import linear, roomy
from hoggin.report.chart.svg import svg
from hoggin.report.design import aim_name
from hoggin.report.wording import full_subtitle, shorten
from hoggin.studies.design.document import Design


def plot(design: Design) -> str:
    """The front of a design of several aims."""
    pairs = combinations(range(len(design.aims)), 2)
    panels = tuple(_panel(design, first, second) for first, second in pairs)
    lines = "Lines between points only guide the eye. " if len(design.aims) == 2 else ""
    key = (
        "Each point is a plant that meets all requirements; no other that was found is as good in "
        f"all aims and better in one. {lines}Numbers are those of the table. The written revision "
        "is the square, rounded."
    )
    title = f"Trade-off of {len(design.aims)} aims"
    return svg(Chart(title, full_subtitle(design), panels, (Key(key),)))


def _panel(design: Design, first: int, second: int) -> Panel:
    points = tuple((one.values[first], one.values[second]) for one in design.frontier)
    picked = tuple(p for p, one in zip(points, design.frontier, strict=True) if one.picked)
    line = [Series(tuple(sorted(points)), weight=1.4, faint=True)] if len(design.aims) == 2 else []
    callouts = [Callout(str(number), point) for number, point in enumerate(points, start=1)]
    callouts.sort(key=lambda callout: callout.point not in picked)
    others = tuple(point for point in points if point not in picked)
    items: list[Item] = [*line, Markers(others), Markers(picked, "frame", 5.5), *callouts]
    return Panel(
        across=_axis(design, first, 7),
        up=_axis(design, second, 6),
        items=tuple(items),
        height=340,
    )


def _axis(design: Design, place: int, about: int) -> Axis:
    aim = design.aims[place]
    name = shorten(aim_name(aim), 60)
    label = f"{name}, {aim.unit}" if aim.unit else name
    return linear(*roomy(point.values[place] for point in design.frontier), about, label)
