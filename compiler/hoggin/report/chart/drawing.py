"""A panel in its frame: hair lines, what is drawn, then words where they keep clear of it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from hoggin.report.chart.ink import SMALL, Frame, Pen, half_size, width_of
from hoggin.report.chart.model import (
    Area,
    Axis,
    Callout,
    Item,
    Limit,
    Markers,
    Panel,
    Point,
    Series,
    Words,
)
from hoggin.report.chart.placing import Placer, Places, dense

_ASIDE = 9.0  # from a limit to the middle of its words


class Drawing:
    """Draws a panel; `left` is where its room begins, left of the frame."""

    def __init__(self, panel: Panel, frame: Frame, left: float, pen: Pen) -> None:
        self._panel, self._frame, self._left, self._pen = panel, frame, left, pen
        self._across = _Scale(panel.across, frame.left, frame.right)
        self._up = _Scale(panel.up, frame.foot, frame.top)

    def drawn(self) -> Iterator[str]:
        panel, pen = self._panel, self._pen
        across = [self._across(value) for value, _ in panel.across.marks * panel.across.lines]
        up = [self._up(value) for value, _ in panel.up.marks * panel.up.lines]
        yield from pen.hairs(self._frame, across, up)
        for item in panel.items:
            yield from self._shape(item)
        if panel.frame:
            yield pen.frame(self._frame)
        obstacles = [(item, line) for item in panel.items for line in self._obstacles(item)]
        placer = Placer(self._frame, [line for _, line in obstacles])
        for place, (item, _) in enumerate(obstacles):
            if isinstance(item, Series) and item.tag:
                half = half_size(item.tag, badge=item.badge)
                at = placer.along(place, half, needed=item.badge)
                yield from self._label(at, item.tag, badge=item.badge)
        for item in panel.items:
            yield from self._beside(item, placer)
        yield from self._axes()

    def _places(self, points: Iterable[Point]) -> list[Point]:
        return [(self._across(x), self._up(y)) for x, y in points]

    def _shape(self, item: Item) -> Iterator[str]:
        match item:
            case Area():
                yield self._pen.area(map(self._places, item.rings), item)
            case Series():
                yield self._pen.series(self._places(item.points), item)
            case Markers():
                for x, y in self._places(item.points):
                    yield self._pen.marker(item, x, y)
            case Limit():
                yield self._pen.limit(self._frame.left, self._frame.right, self._up(item.value))

    def _obstacles(self, item: Item) -> Iterator[Places]:
        """What words keep clear of."""
        match item:
            case Area(edge=True):
                yield from (dense(self._places([*ring, ring[0]])) for ring in item.rings)
            case Series():
                yield dense(self._places(item.points))
            case Markers() if item.points:
                yield _outlines(self._places(item.points), item.radius)
            case Limit():
                y = self._up(item.value)
                yield dense([(self._frame.left, y), (self._frame.right, y)])

    def _beside(self, item: Item, placer: Placer) -> Iterator[str]:
        """The words of a callout, of a limit, or right of a point."""
        match item:
            case Callout():
                half = half_size(item.text, badge=item.badge)
                (point,) = self._places([item.point])
                at = placer.around(point, half, needed=item.badge)
                if at is not None and item.badge:
                    yield from self._pen.leader(point, at)
                yield from self._label(at, item.text, badge=item.badge)
            case Limit() if item.text:
                half, y = half_size(item.text), self._up(item.value)
                ends = (self._frame.right - half[0] - 4, self._frame.left + half[0] + 4)
                spots = [(x, y + side) for x in ends for side in (-_ASIDE, _ASIDE)]
                yield from self._label(placer.roomiest(spots, half), item.text, badge=False)
            case Words():
                ((x, y),) = self._places([item.point])
                yield self._pen.words(x + 7, y + 4, item.text, size=SMALL)

    def _label(self, at: Point | None, words: str, *, badge: bool) -> Iterator[str]:
        if at is not None:
            yield from self._pen.label(at, words, badge=badge)

    def _axes(self) -> Iterator[str]:
        """Ticks in words, as far as they leave room to one another, and the names of the axes."""
        frame, panel, pen = self._frame, self._panel, self._pen
        written = -math.inf
        for value, words in panel.across.marks:
            x, half = self._across(value), width_of(words, SMALL) / 2
            if words and x - half > written:
                written = x + half + 5
                y = frame.foot + 17
                yield pen.words(x, y, words, size=SMALL, anchor="middle", kind="across")
        for value, words in panel.up.marks:
            if words:
                x, y = frame.left - 7, self._up(value) + 4
                yield pen.words(x, y, words, size=SMALL, anchor="end", kind="up")
        if panel.across.label:
            x, y = (frame.left + frame.right) / 2, frame.foot + (34 if written > 0 else 17)
            yield pen.words(x, y, panel.across.label, anchor="middle")
        if panel.up.label:
            x, y = self._left + 10, (frame.top + frame.foot) / 2
            yield pen.words(x, y, panel.up.label, anchor="middle", turned=True)


class _Scale:
    """Values of an axis to places between two ends; beyond them it stays at the end."""

    def __init__(self, axis: Axis, start: float, end: float) -> None:
        self._turned = math.log if axis.log else float
        self._low, self._high = self._turned(axis.low), self._turned(axis.high)
        self._start, self._end = start, end

    def __call__(self, value: float) -> float:
        share = (self._turned(value) - self._low) / (self._high - self._low)
        return self._start + (self._end - self._start) * min(1.0, max(0.0, share))


def _outlines(points: Sequence[Point], radius: float) -> Places:
    """Markers as their middles and four points around each."""
    around = np.array([(0, 0), (radius, 0), (-radius, 0), (0, radius), (0, -radius)])
    outlines: Places = (np.array(points)[:, None, :] + around[None, :, :]).reshape(-1, 2)
    return outlines
