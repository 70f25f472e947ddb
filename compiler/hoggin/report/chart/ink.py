"""Elements of SVG: lines, marks, areas and words at places in pixels, in the colours of a skin."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from xml.sax.saxutils import escape, quoteattr

from hoggin.report.chart.model import Area, Fill, Markers, Point, Series
from hoggin.report.wording import clean

TITLE, TEXT, SMALL = 17.0, 12.0, 11.0  # sizes of text, px
BADGE = 9.0  # radius of a ring round a number
_EM, _BOLD_EM = 0.56, 0.6  # width of a character in sizes, in a wide face (measured: DejaVu Sans)


@dataclass(frozen=True, slots=True)
class Frame:
    """The sides of a panel, in pixels."""

    left: float
    top: float
    right: float
    foot: float


@dataclass(frozen=True, slots=True)
class Skin:
    """Colours, and whether the drawing is a file of its own or a part of a page."""

    ink: str
    paper: str
    quiet: str
    edge: str  # the frame of a panel
    faint: str
    hair: str
    tint: str
    light: str
    alone: bool


PAPER = Skin(
    *("#222222", "#ffffff", "#666666", "#444444", "#999999", "#dddddd", "#e4e4e4", "#c9c9c9"),
    alone=True,
)
PAGE = Skin(  # the page's style gives its colours, light and dark
    *("var(--ink)", "var(--paper)", "var(--edge)", "var(--ink)", "var(--edge)", "var(--hair)"),
    *("var(--tint)", "var(--tint)"),
    alone=False,
)
_HATCHES: dict[str, tuple[int, int, float, bool]] = {  # side, turn, weight, on its own ground
    "slant": (7, 45, 1.0, False),
    "backslant": (7, 135, 1.0, False),
    "upright": (7, 0, 1.0, False),
    "level": (7, 90, 1.0, False),
    "bold slant": (6, 45, 2.4, True),
    "bold level": (5, 90, 2.0, True),
    "dots": (5, 0, 2.8, True),
}


def width_of(words: str, size: float = TEXT, *, bold: bool = False) -> float:
    """Room that words take, more rather than less."""
    return (_BOLD_EM if bold else _EM) * size * len(words)


def half_size(words: str, *, badge: bool = False) -> Point:
    """Half the width and half the height of words in a panel."""
    half = width_of(words, SMALL) / 2
    return (max(BADGE, half + 6 * (len(words) > 2)), BADGE) if badge else (half + 2, 6.5)


def number(value: float) -> str:
    """To a hundredth of a pixel, never a negative zero."""
    return f"{round(value, 2) + 0.0:.2f}"


def path(points: Iterable[Point]) -> str:
    """A line from point to point, without those that fall on the one before."""
    written = [f"{number(x)},{number(y)}" for x, y in points]
    kept = written[:1] + [here for before, here in pairwise(written) if here != before]
    return "M" + " L".join(kept)


class Pen:
    """Draws elements, and remembers which patterns they need."""

    def __init__(self, skin: Skin) -> None:
        self._skin = skin
        self._fills: set[Fill] = set()

    def definitions(self) -> Iterator[str]:
        if self._fills:
            yield f"<defs>{''.join(map(self._pattern, sorted(self._fills)))}</defs>"

    def words(
        self,
        x: float,
        y: float,
        words: str,
        *,
        size: float = TEXT,
        bold: bool = False,
        anchor: str = "",
        kind: str = "",
        halo: bool = False,
        turned: bool = False,
    ) -> str:
        place = (
            {"transform": f"translate({number(x)} {number(y)}) rotate(-90)"}
            if turned
            else {"x": number(x), "y": number(y)}
        )
        look: dict[str, str] = {"font_size": f"{size:g}"} if size != TEXT else {}
        look |= {"font_weight": "bold"} if bold else {}
        look |= {"text_anchor": anchor} if anchor else {}
        if halo:
            look |= {"stroke": self._skin.paper, "stroke_width": "4", "paint_order": "stroke"}
        return _tag("text", kind, clean(words), **place, **look)

    def label(self, at: Point, words: str, *, badge: bool) -> Iterator[str]:
        """Words centred on a place: in a ring, or with a halo that breaks the line under them."""
        x, y = at
        if badge:
            wide, high = half_size(words, badge=True)
            size = {"width": 2 * wide, "height": 2 * high, "rx": high}
            look = {"fill": self._skin.paper, "stroke": self._skin.ink}
            yield _tag("rect", "badge", x=x - wide, y=y - high, **size, **look)
        kind = "in-badge" if badge else "label"
        yield self.words(x, y + 4, words, size=SMALL, anchor="middle", kind=kind, halo=not badge)

    def leader(self, point: Point, to: Point) -> Iterator[str]:
        yield _tag("path", "leader", d=path([point, to]), stroke=self._skin.ink)
        yield _tag("circle", "leader", cx=point[0], cy=point[1], r=3.5, fill=self._skin.ink)

    def series(self, places: Iterable[Point], item: Series) -> str:
        look = {"stroke": self._skin.quiet if item.faint else self._skin.ink}
        look |= {"stroke_width": f"{item.weight:g}", "stroke_linejoin": "round"}
        look |= {"stroke_dasharray": item.dash} if item.dash else {}
        return _tag("path", "series", d=path(places), fill="none", **look)

    def limit(self, left: float, right: float, y: float) -> str:
        look = {"stroke": self._skin.ink, "stroke_width": "1.4", "stroke_dasharray": "7 4"}
        return _tag("path", "limit", d=path([(left, y), (right, y)]), fill="none", **look)

    def area(self, rings: Iterable[Iterable[Point]], item: Area) -> str:
        look = {"stroke": self._skin.quiet} if item.edge else {}
        d = " ".join(f"{path(ring)} Z" for ring in rings)
        return _tag("path", "area", d=d, fill=self._paint(item.fill), fill_rule="evenodd", **look)

    def marker(self, item: Markers, x: float, y: float) -> str:
        kind, r = item.kind, item.radius
        hollow = kind in ("ring", "frame", "down")
        look = {
            "fill": self._skin.paper if hollow else self._skin.ink,
            "stroke": self._skin.ink,
            "stroke_width": f"{min(1.2, 0.4 * r):g}",
        }
        if kind == "cross":
            d = f"{path([(x - r, y - r), (x + r, y + r)])} {path([(x - r, y + r), (x + r, y - r)])}"
            return _tag("path", kind, d=d, fill="none", stroke=self._skin.quiet)
        if kind in ("disc", "ring"):
            return _tag("circle", kind, cx=x, cy=y, r=r, **look)
        if kind in ("square", "frame"):
            return _tag("rect", kind, x=x - r, y=y - r, width=2 * r, height=2 * r, **look)
        tip = -r if kind == "up" else r
        d = path([(x - r, y - tip), (x + r, y - tip), (x, y + tip)])
        return _tag("path", kind, d=f"{d} Z", **look)

    def hairs(self, frame: Frame, across: Iterable[float], up: Iterable[float]) -> Iterator[str]:
        lines = [path([(x, frame.top), (x, frame.foot)]) for x in across]
        lines += [path([(frame.left, y), (frame.right, y)]) for y in up]
        if lines:
            yield _tag("path", "hairs", d=" ".join(lines), stroke=self._skin.hair, fill="none")

    def frame(self, frame: Frame) -> str:
        size = {"width": frame.right - frame.left, "height": frame.foot - frame.top}
        look = {"fill": "none", "stroke": self._skin.edge}
        return _tag("rect", "frame-edge", x=frame.left, y=frame.top, **size, **look)

    def _paint(self, fill: Fill) -> str:
        if fill in _HATCHES:
            self._fills.add(fill)
            return f"url(#{_id(fill)})"
        skin = self._skin
        plain = {"blank": skin.paper, "light": skin.light, "solid": skin.ink, "tint": skin.tint}
        return plain[fill]

    def _pattern(self, fill: Fill) -> str:
        side, turn, weight, ground = _HATCHES[fill]
        size = {"width": str(side), "height": str(side)}
        ink = self._skin.ink if ground else self._skin.faint
        drawn = _tag("rect", **size, fill=self._skin.paper) if ground else ""
        if fill == "dots":
            drawn += _tag("circle", cx=side / 2, cy=side / 2, r=weight / 2, fill=ink)
        else:
            middle = [(side / 2, 0.0), (side / 2, float(side))]
            drawn += _tag("path", d=path(middle), stroke=ink, stroke_width=f"{weight:g}")
        facts = {**size, "patternUnits": "userSpaceOnUse", "patternTransform": f"rotate({turn})"}
        opening = _tag("pattern", id=_id(fill), **facts).removesuffix("/>")
        return f"{opening}>{drawn}</pattern>"


def _id(fill: Fill) -> str:
    return fill.replace(" ", "-")


def _tag(name: str, kind: str = "", words: str | None = None, /, **facts: float | str) -> str:
    """An element. Numbers are places; names of attributes have `_` for `-`."""
    written = {"class": kind} if kind else {}
    written |= {
        key.replace("_", "-"): value if isinstance(value, str) else number(value)
        for key, value in facts.items()
    }
    said = " ".join(f"{key}={quoteattr(value)}" for key, value in written.items())
    return f"<{name} {said}/>" if words is None else f"<{name} {said}>{escape(words)}</{name}>"
