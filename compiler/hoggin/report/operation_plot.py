"""A plant over time as SVG: the level of every store, and under it what the sections did."""

from __future__ import annotations

from collections.abc import Iterator

from hoggin.report.chart.model import Area, Chart, Fill, Item, Key, Limit, Panel, Series, box
from hoggin.report.chart.scale import linear, rows
from hoggin.report.chart.svg import svg
from hoggin.report.operation import bottleneck_words, made_words
from hoggin.report.wording import fixed, shorten, subtitle
from hoggin.studies.simulate.document import STATES, LevelCourse, Operation

_MOST_STRETCHES = 300  # more can't be distinguished: the hours are as bars instead
_ROW = 26.0
_NARROWEST = 3e-5  # of the run; stretches shorter than this are left out
_FILLS: tuple[Fill, ...] = (
    "light", "blank", "bold slant", "solid", "bold level", "dots", "backslant",
)  # fmt: skip


def plot(found: Operation) -> str:
    """Levels of all stores over the run, and the states of the sections."""
    stretched = 0 < len(found.stretches) <= _MOST_STRETCHES
    states = [
        Key(state, (box(0, 1, 0, 1, _FILLS[n]),), inline=True)
        for n, state in enumerate(STATES)
        if any(section.hours[state] > 0 for section in found.sections)
    ]
    chart = Chart(
        title=f"{found.title}: {found.asked}",
        about=subtitle(found),
        said=f"{made_words(found)} {bottleneck_words(found)}",
        panels=(*(_level(found, one) for one in found.levels), _sections(found, stretched)),
        keys=(*states, Key(" ".join(_words(found, stretched)))),
    )
    return svg(chart)


def _level(found: Operation, one: LevelCourse) -> Panel:
    course = Series(tuple(zip(found.shown_h, one.shown_t, strict=True)), weight=1.6)
    items: list[Item] = [Limit(one.live_t), course]
    if found.runs > 1:
        over = zip(found.hours_at, one.p90_t, strict=True)
        under = zip(found.hours_at, one.p10_t, strict=True)
        items.insert(0, Area(((*over, *reversed(tuple(under))),), "tint", edge=False))
    return Panel(
        across=linear(0.0, found.hours, 8, "shift time, h"),
        up=linear(0.0, 1.08 * one.live_t, 4),
        items=tuple(items),
        height=150,
        heading=shorten(f"{one.tag}: live tonnes, full at {fixed(one.live_t, 0)} t", 90),
    )


def _sections(found: Operation, stretched: bool) -> Panel:
    """A row for each section: its states hour by hour, or its shares of the hours."""
    parts = _stretches(found) if stretched else _shares(found)
    items = [
        box(start, end, row + 0.85, row + 0.15, _FILLS[STATES.index(state)], edge=False)
        for row, start, end, state in parts
        if end - start > _NARROWEST * found.hours
    ]
    outlines = [_outline(row, found.hours) for row in range(len(found.sections))]
    several = found.runs > 1
    return Panel(
        across=linear(0.0, found.hours, 8, "shift time, h"),
        up=rows([shorten(section.name, 13) for section in found.sections]),
        items=(*items, *outlines),
        height=_ROW * len(found.sections),
        heading=f"State of the sections{', in the run shown' if several else ''}"
        if stretched
        else f"Shares of the hours{', averaged over all runs' if several else ''}",
        frame=False,
    )


def _outline(row: int, end: float) -> Series:
    (corners,) = box(0.0, end, row + 0.85, row + 0.15, "blank").rings
    return Series((*corners, corners[0]), weight=1)


def _stretches(found: Operation) -> Iterator[tuple[int, float, float, str]]:
    places = {section.name: row for row, section in enumerate(found.sections)}
    for one in found.stretches:
        yield places[one.section], one.start_h, one.end_h, one.state


def _shares(found: Operation) -> Iterator[tuple[int, float, float, str]]:
    for row, section in enumerate(found.sections):
        passed = 0.0
        for state in STATES:
            yield row, passed, passed + section.hours[state], state
            passed += section.hours[state]


def _words(found: Operation, stretched: bool) -> Iterator[str]:
    if found.levels:
        yield f"Line: the level in {'the run shown' if found.runs > 1 else 'time'}."
        if found.runs > 1:
            yield "Grey: from P10 to P90 of the runs."
            yield "The run shown makes about the median tonnage."
        yield "Dashed: full."
    yield "Shift time: the hours of all shifts, one after another."
    if not stretched:
        yield "There are too many events to show the states hour by hour."
