"""What causes the spread, as SVG: for each result a bar for each uncertain number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hoggin.report.axes import decimals
from hoggin.report.paths import pixel
from hoggin.report.templating import render
from hoggin.report.wording import PREDICTION, fixed, full_subtitle, shorten
from hoggin.studies.uncertainty.document import Cause, OutputSpread, Uncertainty

WIDTH, LEFT, TOP = 820.0, 28.0, 92.0
PANEL_STEP, NAME_WIDTH, BAR_LENGTH = 398.0, 158.0, 120.0
BAR, BAR_STEP, HEAD, GAP = 13.0, 19.0, 42.0, 22.0
COLUMNS, MOST_BARS = 2, 6
LEAST_TOTAL = 0.005
NAME_TEXT = 28


@dataclass(frozen=True, slots=True)
class Bar:
    name: str
    y: float
    total: float  # lengths in pixels
    first: float
    low: float
    high: float
    text: str


@dataclass(frozen=True, slots=True)
class Panel:
    left: float
    top: float
    heading: str
    spread: str
    bars: tuple[Bar, ...]


def plot(found: Uncertainty, wanted: Sequence[str]) -> str:
    """Panels for the results of these names that have any spread."""
    by_name = {one.name: one for one in found.outputs if one.causes}
    shown = [by_name[name] for name in dict.fromkeys(wanted) if name in by_name]
    panels: list[Panel] = []
    top = TOP
    for start in range(0, len(shown), COLUMNS):
        row = shown[start : start + COLUMNS]
        panels += [_panel(one, LEFT + PANEL_STEP * n, top) for n, one in enumerate(row)]
        top += HEAD + BAR_STEP * max(len(_drawn(one)) for one in row) + GAP
    return render(
        "ranking.svg.j2",
        {"number": pixel},
        width=WIDTH,
        height=top + 96,
        left=LEFT,
        name_width=NAME_WIDTH,
        length=BAR_LENGTH,
        bar=BAR,
        most=MOST_BARS,
        title="What causes the spread",
        plant=shorten(f"{full_subtitle(found)}; {found.ranked:,} samples, seed {found.seed}", 125),
        panels=panels,
        key_top=top + 14,
        prediction=PREDICTION,
    )


def _drawn(one: OutputSpread) -> tuple[Cause, ...]:
    """The causes worth a bar, and the first in any case."""
    telling = [cause for cause in one.causes if cause.total >= LEAST_TOTAL]
    return tuple(telling[:MOST_BARS]) or one.causes[:1]


def _panel(one: OutputSpread, left: float, top: float) -> Panel:
    places = decimals((one.p10, one.p50, one.p90))
    p10, p50, p90 = (fixed(v, places) for v in (one.p10, one.p50, one.p90))
    bars = [_bar(cause, top + HEAD + BAR_STEP * n) for n, cause in enumerate(_drawn(one))]
    unit = f" {one.unit}" if one.unit else ""
    return Panel(
        left=left,
        top=top,
        heading=shorten(one.name, 52),
        spread=f"P10 {p10}, P50 {p50}, P90 {p90}{unit}",
        bars=tuple(bars),
    )


def _bar(cause: Cause, y: float) -> Bar:
    def length(share: float) -> float:
        return BAR_LENGTH * min(1.0, max(0.0, share))

    total, first = (fixed(min(100.0, max(0.0, 100 * s)), 0) for s in (cause.total, cause.first))
    return Bar(
        name=shorten(cause.number, NAME_TEXT),
        y=y,
        total=length(cause.total),
        first=length(min(cause.first, cause.total)),
        low=length(cause.total - cause.total_error),
        high=length(cause.total + cause.total_error),
        text=f"{total} %, alone {first} %",
    )
