"""Places for words: within the frame, clear of lines and of other words. All in pixels."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from hoggin.report.chart.ink import Frame
from hoggin.report.chart.model import Point

_STEP = 3.0  # along a line, between the points it is taken for
_ENOUGH_TEXT, _ENOUGH_LINE = 40.0, 8.0  # room beyond which more does not matter
_CLEAR = 2.0
_REACHES = (14.0, 20.0, 28.0, 40.0, 56.0)  # to places around a point
_TURNS = tuple(math.radians(degrees) for degrees in range(-45, 315, 30))
_INSET = 3.0
Places = NDArray[np.float64]


class Placer:
    """Keeps what is drawn in a frame, as points close to one another, and finds room beside it."""

    def __init__(self, frame: Frame, lines: Sequence[Places]) -> None:
        self._frame = frame
        self._lines = lines
        self._taken: list[tuple[Point, Point]] = []  # middles and half sizes of texts

    def along(self, own: int, half: Point, *, needed: bool) -> Point | None:
        """The place on one of the lines with the most room for a box of this half width and half
        height, its middle preferred. None where none is clear, unless it is needed."""
        line: list[Point] = [(x, y) for x, y in self._lines[own].tolist()]
        inside = [at for at in line if self._inside(at, half)] or line
        middle = len(inside) / 2
        ordered = [at for _, at in sorted(enumerate(inside), key=lambda e: abs(e[0] - middle))]
        return self._best(ordered, half, needed=needed, own=own)

    def around(self, point: Point, half: Point, *, needed: bool) -> Point | None:
        """The nearest clear place beside a point."""
        (x, y), (wide, high) = point, half
        places = [
            (x + (reach + wide - high) * math.cos(turn), y + reach * math.sin(turn))
            for reach in _REACHES
            if reach > 2 * high
            for turn in _TURNS
        ]
        return self._best(places, half, needed=needed, near=True)

    def roomiest(self, places: Sequence[Point], half: Point) -> Point | None:
        """The place with the most room; the first of those as good."""
        return self._best(places, half, needed=True)

    def _inside(self, at: Point, half: Point) -> bool:
        frame, (wide, high) = self._frame, half
        return (
            frame.left + wide + _INSET <= at[0] <= frame.right - wide - _INSET
            and frame.top + high + _INSET <= at[1] <= frame.foot - high - _INSET
        )

    def _moved_in(self, at: Point, half: Point) -> Point:
        """The nearest place inside the frame."""
        frame, (wide, high) = self._frame, (half[0] + _INSET, half[1] + _INSET)
        x = min(max(at[0], frame.left + wide), frame.right - wide)
        return x, min(max(at[1], frame.top + high), frame.foot - high)

    def _best(
        self,
        places: Sequence[Point],
        half: Point,
        *,
        needed: bool,
        own: int | None = None,
        near: bool = False,
    ) -> Point | None:
        """The place with the most room: clear of texts first, then of lines. `near` takes the first
        that is clear."""
        inside = [at for at in places if self._inside(at, half)]
        if needed and not inside:
            inside = [self._moved_in(at, half) for at in places[:1]]
        room = self._room(inside, half, own)
        clear = [min(one) > _CLEAR for one in room]
        if not (any(clear) or (inside and needed)):
            return None
        if near and any(clear):
            best = clear.index(True)
        else:
            best = max(range(len(inside)), key=lambda n: (clear[n], room[n], -n))
        self._taken.append((inside[best], half))
        return inside[best]

    def _room(self, places: Sequence[Point], half: Point, own: int | None) -> list[Point]:
        """What each place leaves to the nearest text and to the nearest line, up to enough."""
        at = np.array(places, dtype=np.float64).reshape(-1, 2)
        texts, lines = np.full(len(at), _ENOUGH_TEXT), np.full(len(at), _ENOUGH_LINE)
        for middle, (wide, high) in self._taken:
            texts = np.minimum(texts, _gap(at - middle, half[0] + wide, half[1] + high))
        for place, line in enumerate(self._lines):
            if place != own and len(at):
                away = _gap(at[:, None, :] - line[None, :, :], *half).min(axis=1)
                lines = np.minimum(lines, away)
        return list(zip(texts.round(1).tolist(), lines.round(1).tolist(), strict=True))


def dense(line: Sequence[Point]) -> Places:
    """Points along a line, a few pixels apart."""
    corners = np.array(line, dtype=np.float64)
    passed = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])
    at = np.linspace(0.0, passed[-1], int(passed[-1] / _STEP) + 2)
    return np.column_stack([np.interp(at, passed, corners[:, side]) for side in (0, 1)])


def _gap(away: Places, wide: float, high: float) -> Places:
    """Distance from a box of this half width and half height to points so far from its middle."""
    beside = np.maximum(np.abs(away) - (wide, high), 0.0)
    gap: Places = np.hypot(beside[..., 0], beside[..., 1])
    return gap
