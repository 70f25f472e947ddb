"""A plant over time as SVG: the level of every store, and under it what the sections did."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from hoggin.report.axes import Axis
from hoggin.report.operation import bottleneck_words, made_words
from hoggin.report.paths import pixel
from hoggin.report.templating import render
from hoggin.report.wording import PREDICTION, fixed, shorten, subtitle
from hoggin.studies.simulate.document import STATES, LevelCourse, Operation

WIDTH, LEFT, RIGHT = 820.0, 92.0, 784.0
TOP, PANEL_HEIGHT, PANEL_STEP = 130.0, 150.0, 222.0
ROW_HEIGHT, ROW_STEP = 16.0, 26.0
MOST_STRETCHES = 300  # more can't be told apart: the hours stand as bars instead
KEY_TEXT = 118
NARROW = 0.02  # px; stretches thinner than this are left out


@dataclass(frozen=True, slots=True)
class Panel:
    heading: str
    top: float
    foot: float
    band: str
    line: str
    full_y: float
    verticals: tuple[tuple[float, str], ...]
    horizontals: tuple[tuple[float, str], ...]


@dataclass(frozen=True, slots=True)
class Row:
    """A section and what it did: (left, width, place of the state in STATES)."""

    name: str
    top: float
    parts: tuple[tuple[float, float, int], ...]


def plot(found: Operation) -> str:
    """Levels of all stores over the run, and the states of the sections."""
    across = Axis(0.0, found.hours, LEFT, RIGHT)
    panels = [_panel(found, one, across, n) for n, one in enumerate(found.levels)]
    rows_top = TOP + PANEL_STEP * len(panels) + 8
    stretched = 0 < len(found.stretches) <= MOST_STRETCHES
    rows = _stretches(found, across, rows_top) if stretched else _bars(found, rows_top)
    key_top = rows_top + ROW_STEP * len(rows) + 34
    keys = textwrap.wrap(" ".join(_keys(found, stretched)), KEY_TEXT)
    states = _states(found)
    answer = textwrap.wrap(f"{made_words(found)} {bottleneck_words(found)}", 112)[:3]
    return render(
        "operation.svg.j2",
        {"number": pixel},
        width=WIDTH,
        height=key_top + 30 + 20.0 * len(keys) + 26,
        left=LEFT,
        right=RIGHT,
        title=shorten(f"{found.title}: {found.asked}", 80),
        plant=shorten(subtitle(found), 120),
        answer=answer,
        panels=panels,
        rows=rows,
        rows_heading=f"What the sections did{', in the run shown' if found.runs > 1 else ''}"
        if stretched
        else "Shares of the hours" + (", on the average of all runs" if found.runs > 1 else ""),
        rows_top=rows_top,
        row_height=ROW_HEIGHT,
        across=tuple(across.marks(8)) if stretched else (),
        states=states,
        key_top=key_top,
        keys=keys,
        prediction=PREDICTION,
    )


def _panel(found: Operation, one: LevelCourse, across: Axis, place: int) -> Panel:
    top = TOP + 30 + PANEL_STEP * place
    foot = top + PANEL_HEIGHT
    up = Axis(0.0, 1.08 * one.live_t, foot, top)
    band = ""
    if found.runs > 1:
        over = _points(found.hours_at, one.p90_t, across, up)
        under = _points(found.hours_at, one.p10_t, across, up)
        band = f"M{' L'.join([*over, *reversed(under)])} Z"
    return Panel(
        heading=shorten(f"{one.tag}: live tonnes, full at {fixed(one.live_t, 0)} t", 90),
        top=top,
        foot=foot,
        band=band,
        line=f"M{' L'.join(_points(found.shown_h, one.shown_t, across, up))}",
        full_y=up.at(one.live_t),
        verticals=tuple(across.marks(8)),
        horizontals=tuple(up.marks(4)),
    )


def _points(hours: Sequence[float], tonnes: Sequence[float], across: Axis, up: Axis) -> list[str]:
    """Places of a course, without those that fall on the one before."""
    found: list[str] = []
    for hour, level in zip(hours, tonnes, strict=True):
        place = f"{pixel(across.at(hour))},{pixel(up.at(level))}"
        if not found or found[-1] != place:
            found.append(place)
    return found


def _stretches(found: Operation, across: Axis, top: float) -> list[Row]:
    rows = []
    for place, section in enumerate(found.sections):
        parts = tuple(
            (across.at(one.start_h), across.at(one.end_h) - across.at(one.start_h), n)
            for one in found.stretches
            if one.section == section.name
            for n in (STATES.index(one.state),)
            if across.at(one.end_h) - across.at(one.start_h) > NARROW
        )
        rows.append(Row(shorten(section.name, 13), top + 12 + ROW_STEP * place, parts))
    return rows


def _bars(found: Operation, top: float) -> list[Row]:
    across = Axis(0.0, found.hours, LEFT, RIGHT)
    rows = []
    for place, section in enumerate(found.sections):
        parts, passed = [], 0.0
        for n, state in enumerate(STATES):
            hours = section.hours[state]
            if hours > 0:
                parts.append((across.at(passed), across.at(hours) - across.at(0.0), n))
            passed += hours
        rows.append(Row(shorten(section.name, 13), top + 12 + ROW_STEP * place, tuple(parts)))
    return rows


def _states(found: Operation) -> list[tuple[float, int, str]]:
    """The key: states that occur, from left to right."""
    there = [n for n, state in enumerate(STATES) if any(s.hours[state] > 0 for s in found.sections)]
    at = LEFT
    placed: list[tuple[float, int, str]] = []
    for n in there:
        placed.append((at, n, STATES[n]))
        at += 34 + 6.6 * len(STATES[n])
    return placed


def _keys(found: Operation, stretched: bool) -> list[str]:
    said = []
    if found.levels:
        said.append("Line: the level in " + ("the run shown." if found.runs > 1 else "time."))
        if found.runs > 1:
            said.append(
                "Grey: from P10 to P90 of the runs. The run shown makes about the median of tonnes."
            )
        said.append("Dashed: full.")
    said.append("Shift time: the hours the plant is run, one after the other.")
    if not stretched:
        said.append("There are too many events to show what the sections did hour by hour.")
    return said
