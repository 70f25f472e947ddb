"""A drawing as SVG: a file for each sheet, with a group for each machine and each stream.

A group has its key as `data-of`, so that a page can select it. Colours are variables of one style
block, light and dark.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from xml.sax.saxutils import escape, quoteattr

from hoggin.report.drawing.diagram import Point
from hoggin.report.drawing.geometry import DASHES, on_circle, with_head
from hoggin.report.drawing.ink import ACCENT, INK, PAPER, TINT
from hoggin.report.drawing.lettering import width_of
from hoggin.report.drawing.model import (
    Arc,
    Circle,
    Drawing,
    Fill,
    Item,
    Layer,
    Sheet,
    Stroke,
    Use,
    Words,
)

FONTS = "Arimo, 'Liberation Sans', Arial, Helvetica, sans-serif"
_LIGHT = f"--ink: {INK}; --paper: {PAPER}; --tint: {TINT}; --accent: {ACCENT}"
_DARK = "--ink: #e8e8e8; --paper: #16181b; --tint: #34383d; --accent: #ff9a8d"
_RULES = (
    ("*", "vector-effect: none"),
    (".line", "fill: none; stroke: var(--ink)"),
    (".head", "fill: var(--ink); stroke: none"),
    (".words", f"fill: var(--ink); stroke: none; font-family: {FONTS}; white-space: pre"),
    (".accent.line", "stroke: var(--accent)"),
    (".accent.words", "fill: var(--accent)"),
    (".accent.head", "fill: var(--accent)"),
    (".paper", "fill: var(--paper)"),
    (".tint", "fill: var(--tint)"),
    (".ink", "fill: var(--ink)"),
)
# A symbol is styled by its own class: where it is used, no selector sees what is around it.
STYLE = "\n".join(
    [
        f".drawing {{ {_LIGHT}; background: var(--paper); }}",
        f"@media screen and (prefers-color-scheme: dark) {{ .drawing {{ {_DARK} }} }}",
        *(f".drawing {one}, .symbol {one} {{ {rule} }}" for one, rule in _RULES),
    ]
)


def svg(drawing: Drawing) -> tuple[bytes, ...]:
    """The SVG of each sheet."""
    names = {symbol: f"symbol-{n}" for n, symbol in enumerate(sorted(drawing.symbols))}
    return tuple(_sheet(drawing, sheet, names).encode() for sheet in drawing.sheets)


def _sheet(drawing: Drawing, sheet: Sheet, names: Mapping[str, str]) -> str:
    title = ", ".join(filter(None, (drawing.title, sheet.title)))
    size = f'width="{_mm(sheet.width)}mm" height="{_mm(sheet.height)}mm"'
    box = f'viewBox="0 0 {_mm(sheet.width)} {_mm(sheet.height)}"'
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" class="drawing" {size} {box}>',
            f"<title>{escape(title)}</title>",
            f"<style>{STYLE}</style>",
            "<defs>",
            *_symbols(drawing, sheet, names),
            "</defs>",
            f'<rect class="paper" width="{_mm(sheet.width)}" height="{_mm(sheet.height)}"/>',
            *_groups(sheet, names),
            "</svg>\n",
        ]
    )


def _symbols(drawing: Drawing, sheet: Sheet, names: Mapping[str, str]) -> Iterator[str]:
    used = {item.symbol for item in sheet.items if isinstance(item, Use)}
    for symbol in sorted(used):
        yield f'<g id="{names[symbol]}" class="symbol">'
        for shape in drawing.symbols[symbol]:
            yield from _item(shape, names)
        yield "</g>"


def _groups(sheet: Sheet, names: Mapping[str, str]) -> Iterator[str]:
    """All that belongs to one thing in one group, at the place of its first item."""
    groups: dict[str, list[str]] = {}
    for item in sheet.items:
        groups.setdefault(item.of, []).extend(_item(item, names))
    for of, lines in groups.items():
        yield f"<g data-of={quoteattr(of)}>" if of else '<g class="sheet">'
        yield from lines
        yield "</g>"


def _item(item: Item, names: Mapping[str, str]) -> Iterator[str]:
    match item:
        case Use():
            x, y = item.at
            yield f'<use href="#{names[item.symbol]}" x="{_mm(x)}" y="{_mm(y)}"/>'
        case Stroke():
            points, head = with_head(item)
            dash = " ".join(map(_mm, DASHES[item.dash]))
            dashed = f' stroke-dasharray="{dash}"' if dash else ""
            look = f'{_line(item.layer, item.fill)} stroke-width="{_mm(item.width)}"{dashed}'
            yield f'<path {look} d="{_d(points, closed=item.closed)}"/>'
            if head:
                yield f'<path class="{_class("head", item.layer)}" d="{_d(head, closed=True)}"/>'
        case Circle():
            (x, y), look = item.centre, _line(item.layer, item.fill)
            place = f'cx="{_mm(x)}" cy="{_mm(y)}" r="{_mm(item.radius)}"'
            yield f'<circle {look} stroke-width="{_mm(item.width)}" {place}/>'
        case Arc():
            yield (
                f'<path {_line(item.layer, "none")} stroke-width="{_mm(item.width)}" '
                f'd="{_arc(item)}"/>'
            )
        case Words():
            yield _words(item)


def _words(item: Words) -> str:
    look = f'class="{_class("words", item.layer)}" font-size="{_mm(item.size)}"'
    look += ' font-weight="bold"' if item.bold else ""
    look += f' text-anchor="{item.anchor}"' if item.anchor != "start" else ""
    # The width that the sheet was made for, in whatever font the reader has.
    width = width_of(item.text, item.size, bold=item.bold)
    look += f' textLength="{_mm(width)}" lengthAdjust="spacingAndGlyphs"'
    x, y = item.at
    return f'<text {look} x="{_mm(x)}" y="{_mm(y)}">{escape(item.text)}</text>'


def _line(layer: Layer, fill: Fill) -> str:
    return f'class="{_class("line", layer)}{"" if fill == "none" else f" {fill}"}"'


def _class(kind: str, layer: Layer) -> str:
    return f"{kind} accent" if layer in ("attention", "revision") else kind


def _arc(arc: Arc) -> str:
    (ax, ay), (bx, by) = (on_circle(arc.centre, arc.radius, turn) for turn in (arc.start, arc.end))
    large = int((arc.end - arc.start) % 360.0 > 180.0)
    radius = _mm(arc.radius)
    return f"M{_mm(ax)} {_mm(ay)} A{radius} {radius} 0 {large} 1 {_mm(bx)} {_mm(by)}"


def _d(points: tuple[Point, ...], *, closed: bool) -> str:
    joined = " L".join(f"{_mm(x)} {_mm(y)}" for x, y in points)
    return f"M{joined}{' Z' if closed else ''}"


def _mm(value: float) -> str:
    """To a thousandth of a millimetre, never a negative zero."""
    return f"{round(value, 3) + 0.0:g}" if abs(value) < 1000 else f"{round(value, 2):.7g}"
