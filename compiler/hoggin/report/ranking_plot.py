"""What causes the spread, as SVG: for each result a bar for each uncertain number."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from hoggin.report.chart.model import Axis, Chart, Item, Key, Panel, Series, Words, box
from hoggin.report.chart.scale import decimals, rows
from hoggin.report.chart.svg import svg
from hoggin.report.wording import PREDICTION, fixed, full_subtitle, shorten
from hoggin.studies.uncertainty.document import Cause, OutputSpread, Uncertainty

_MOST_BARS, _LEAST_TOTAL = 6, 0.005
_NAME_TEXT = 28
_ROW = 19.0
_ACROSS = Axis(0.0, 2.4)  # a bar ends at 1; the rest is for its words
_TOTAL: Final = "slant"
_ALONE: Final = "solid"


def plot(found: Uncertainty, wanted: Sequence[str]) -> str:
    """Panels for the results of these names that have any spread."""
    by_name = {one.name: one for one in found.outputs if one.causes}
    shown = [by_name[name] for name in dict.fromkeys(wanted) if name in by_name]
    total = (
        "Total: the share of the variance that would remain if all other numbers were known; the "
        "line shows its 95 % interval."
    )
    alone = "Alone (first index): the share that would disappear if only this number were known."
    chart = Chart(
        title="What causes the spread",
        about=f"{full_subtitle(found)}; {found.ranked:,} samples, seed {found.seed}",
        panels=tuple(_panel(one) for one in shown),
        keys=(
            Key(total, (box(0, 1, 1, 0, _TOTAL),)),
            Key(alone, (box(0, 1, 1, 0, _ALONE),)),
        ),
        note=(
            f"Names are those of the plant's file. At most {_MOST_BARS} numbers per result; those "
            f"under half a per cent are left out. {PREDICTION}"
        ),
        columns=2,
    )
    return svg(chart)


def _panel(one: OutputSpread) -> Panel:
    places = decimals((one.p10, one.p50, one.p90))
    p10, p50, p90 = (fixed(v, places) for v in (one.p10, one.p50, one.p90))
    telling = [cause for cause in one.causes if cause.total >= _LEAST_TOTAL]
    drawn = telling[:_MOST_BARS] or one.causes[:1]
    items = [item for row, cause in enumerate(drawn) for item in _bar(cause, row)]
    base = Series(((0.0, float(len(drawn))), (0.0, 0.0)), weight=1)
    return Panel(
        across=_ACROSS,
        up=rows([shorten(cause.number, _NAME_TEXT) for cause in drawn]),
        items=(*items, base),
        height=_ROW * len(drawn),
        heading=shorten(one.name, 50),
        note=f"P10 {p10}, P50 {p50}, P90 {p90} {one.unit}".strip(),
        frame=False,
    )


def _bar(cause: Cause, row: int) -> Iterator[Item]:
    """The total, what the number does alone within it, and the interval of the total."""
    error = cause.total_error
    shares = (cause.total, cause.first, cause.total - error, cause.total + error)
    total, first, low, high = (min(1.0, max(0.0, share)) for share in shares)
    yield box(0.0, total, row + 0.85, row + 0.15, _TOTAL)
    yield box(0.0, min(first, total), row + 0.7, row + 0.3, _ALONE, edge=False)
    yield Series(((low, row + 0.5), (high, row + 0.5)), weight=1.2)
    yield Series(((high, row + 0.3), (high, row + 0.7)), weight=1.2)
    told = f"{fixed(100 * total, 0)} %, alone {fixed(100 * first, 0)} %"
    yield Words(told, (max(high, total), row + 0.5))
