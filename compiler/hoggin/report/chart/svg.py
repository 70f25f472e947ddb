"""The writer: a chart as SVG, the same bytes for the same chart."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator
from math import fsum
from xml.sax.saxutils import escape, quoteattr

from hoggin.report.chart.ink import PAPER, SMALL, TEXT, TITLE, Frame, Pen, Skin, number, width_of
from hoggin.report.chart.model import Area, Callout, Chart, Key, Limit, Markers, Panel, Series
from hoggin.report.wording import clean, shorten

_LINE, _GAP = 20.0, 24.0
_HEADING, _NOTE, _ABOVE = 18.0, 15.0, 8.0
_SWATCH, _INLINE_SWATCH, _LEAD = 40.0, 16.0, 10.0
_MOST_LINES = 4  # of one text
_FACE = "Helvetica, Arial, sans-serif"


def svg(chart: Chart, skin: Skin = PAPER) -> str:
    """The drawing; `skin` gives its colours."""
    return _Sheet(chart, skin).drawn()


class _Sheet:
    """A chart from its head to its foot; `_y` is how far down it has come."""

    def __init__(self, chart: Chart, skin: Skin) -> None:
        self._chart, self._skin, self._pen = chart, skin, Pen(skin)
        self._left, self._right = chart.margin, chart.width - chart.margin
        self._y = 0.0

    def drawn(self) -> str:
        body = [*self._head(), *self._panels(), *self._legend(), *self._note()]
        return "\n".join([*self._opening(), *body, "</svg>"]) + "\n"

    def _opening(self) -> Iterator[str]:
        chart, skin = self._chart, self._skin
        wide, high = number(chart.width), number(self._y + 8)
        box = f'viewBox="0 0 {wide} {high}" fill="{skin.ink}"'
        if not skin.alone:
            told = quoteattr(clean(chart.about))
            yield f'<svg class="plot" role="img" aria-label={told} {box}>'
        else:
            size = f'width="{wide}" height="{high}" font-family="{_FACE}" font-size="{TEXT:g}"'
            yield '<?xml version="1.0" encoding="UTF-8"?>'
            yield f'<svg xmlns="http://www.w3.org/2000/svg" {size} {box}>'
            yield f"<title>{escape(clean(chart.title))}</title>"
        yield from self._pen.definitions()
        if skin.alone:
            yield f'<rect width="100%" height="100%" fill="{skin.paper}"/>'

    def _head(self) -> Iterator[str]:
        """Title, what it is of, and what it says."""
        chart = self._chart
        if not chart.title:
            return
        title, about = self._fitted(chart.title, TITLE, bold=True), self._fitted(chart.about, TEXT)
        yield self._pen.words(self._left, 30, title, size=TITLE, bold=True)
        yield self._pen.words(self._left, 50, about)
        self._y = 54.0
        for words in self._wrapped(chart.said, self._left, bold=True):
            self._y += 18
            yield self._pen.words(self._left, self._y, words, bold=True)
        self._y += 10

    def _panels(self) -> Iterator[str]:
        from hoggin.report.chart.drawing import Drawing  # brings numpy

        chart = self._chart
        step = (self._right - self._left + _GAP) / chart.columns
        room = max((_room_left(panel) for panel in chart.panels), default=0.0)
        for start in range(0, len(chart.panels), chart.columns):
            row = chart.panels[start : start + chart.columns]
            over = max(_HEADING * bool(p.heading) + _NOTE * bool(p.note) for p in row)
            self._y += over + _ABOVE
            for place, panel in enumerate(row):
                left = self._left + step * place
                frame = Frame(left + room, self._y, left + step - _GAP, self._y + panel.height)
                yield ""
                yield from self._panel_head(panel.heading, panel.note, frame)
                yield from Drawing(panel, frame, left, self._pen).drawn()
            self._y += max(panel.height + _room_below(panel) for panel in row) + _GAP / 2

    def _panel_head(self, heading: str, note: str, frame: Frame) -> Iterator[str]:
        y = frame.top - _ABOVE
        if heading:
            yield self._pen.words(frame.left, y - _NOTE * bool(note), heading, bold=True)
        if note:
            yield self._pen.words(frame.left, y, note, size=SMALL)

    def _legend(self) -> Iterator[str]:
        for row in self._rows():
            self._y += _LINE
            x, below = self._left, 0
            for key in row:
                yield from self._swatch(key, x, self._y - 4)
                lines = self._wrapped(key.text, x + _lead(key))
                for place, words in enumerate(lines):
                    yield self._pen.words(x + _lead(key), self._y + _LINE * place, words)
                x, below = x + _wide(key), len(lines) - 1
            self._y += _LINE * below

    def _rows(self) -> Iterator[list[Key]]:
        """The keys of each line of the legend."""
        row: list[Key] = []
        for key in self._chart.keys:
            inline = all(one.inline for one in (*row, key))
            fits = self._left + fsum(map(_wide, (*row, key))) < self._right
            if row and not (inline and fits):
                yield row
                row = []
            row.append(key)
        if row:
            yield row

    def _swatch(self, key: Key, x: float, y: float) -> Iterator[str]:
        wide, pen = _INLINE_SWATCH if key.inline else _SWATCH, self._pen
        middle = (x + wide / 2, y)
        for item in key.swatch:
            match item:
                case Area():
                    ring = [(x, y - 6), (x + wide, y - 6), (x + wide, y + 6), (x, y + 6)]
                    yield pen.area([ring], Area((), item.fill))
                case Series():
                    yield pen.series([(x, y), (x + wide, y)], item)
                    if item.badge:
                        yield from pen.label(middle, item.tag.split()[0], badge=True)
                case Callout():
                    yield from pen.label(middle, item.text, badge=item.badge)
                case Markers():
                    yield pen.marker(item, *middle)
                case Limit():
                    yield pen.limit(x, x + wide, y)

    def _note(self) -> Iterator[str]:
        for words in self._wrapped(self._chart.note, self._left, SMALL):
            self._y += _LINE
            yield self._pen.words(self._left, self._y + 6, words, size=SMALL)
        self._y += 14 * bool(self._chart.note)

    def _wrapped(
        self, text: str, left: float, size: float = TEXT, *, bold: bool = False
    ) -> list[str]:
        """Lines as wide as the sheet; a number stays with its unit."""
        room = int((self._right - left) / width_of("m", size, bold=bold))
        kept = re.sub(r"(\d) (?=\D)", "\\1\u00a0", shorten(text, _MOST_LINES * room))
        return textwrap.wrap(kept, room)

    def _fitted(self, text: str, size: float, *, bold: bool = False) -> str:
        return shorten(text, int((self._right - self._left) / width_of("m", size, bold=bold)))


def _lead(key: Key) -> float:
    """What the swatch of a key takes before its words."""
    if not key.swatch:
        return 0.0
    return (_INLINE_SWATCH if key.inline else _SWATCH) + _LEAD


def _wide(key: Key) -> float:
    return _lead(key) + width_of(key.text) + _LEAD


def _room_left(panel: Panel) -> float:
    """What the upright axis takes beside the frame."""
    widest = max((width_of(words, SMALL) for _, words in panel.up.marks), default=0.0)
    return widest + 8.0 * (widest > 0) + 18.0 * bool(panel.up.label)


def _room_below(panel: Panel) -> float:
    """What the level axis takes under the frame."""
    return 20.0 * any(words for _, words in panel.across.marks) + 18.0 * bool(panel.across.label)
