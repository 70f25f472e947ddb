"""A drawing as DXF (R2010, millimetres): layers by kind, blocks for symbols, real text.

Sheets are side by side in model space, the first at the origin. Each entity of a machine or a
stream has its key as extended data of the application HOGGIN. What is filled as paper is a wipeout.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from math import fsum
from typing import TYPE_CHECKING, Any, get_args

from hoggin.errors import HogginError
from hoggin.report.drawing.diagram import Point
from hoggin.report.drawing.geometry import DASHES, points_of, with_head
from hoggin.report.drawing.ink import ACCENT, TINT, ink_of
from hoggin.report.drawing.lettering import CAPITAL
from hoggin.report.drawing.model import (
    Arc,
    Circle,
    Dash,
    Drawing,
    Fill,
    Item,
    Layer,
    Stroke,
    Use,
    Words,
)

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.entities.dxfentity import DXFEntity
    from ezdxf.layouts.base import BaseLayout

APPLICATION = "HOGGIN"
VERSION, MILLIMETRES = "R2010", 4
BETWEEN = 30.0  # from sheet to sheet
PLAIN, BOLD = "PLAIN", "BOLD"  # styles of text, of fonts with the widths of the drawing's own
FONTS = {PLAIN: "arial.ttf", BOLD: "arialbd.ttf"}
LINE_TYPES: Mapping[Dash, str] = {
    "solid": "CONTINUOUS", "dashed": "DASHED", "dotted": "DOTTED", "chain": "CHAIN",
}  # fmt: skip
BLACK_OR_WHITE = 7  # the colour that is black on white and white on black


def dxf(drawing: Drawing) -> bytes:
    """The drawing's bytes; the same drawing gives the same.

    Raises: HogginError where the package is missing.
    """
    try:
        from ezdxf.filemanagement import new
    except ImportError as error:
        raise HogginError(
            "the package that writes DXF is missing: install the Python package ezdxf"
        ) from error
    with _no_stamps():
        document = new(VERSION, units=MILLIMETRES)
        _tables(document)
        writer = _Writer(document, _block_names(drawing))
        writer.blocks(drawing)
        writer.sheets(drawing)
        for kind in sorted(document.entitydb.dxf_types_in_use()):
            document.classes.add_class(kind)  # here in one order; the package has none
        text = io.StringIO()
        document.write(text)
    return text.getvalue().encode()


@contextmanager
def _no_stamps() -> Iterator[None]:
    """Without the time and the random identities that the package else puts in."""
    from ezdxf._options import options

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _tables(document: Document) -> None:
    """Layers, line types, styles of text, and how a viewer shows them."""
    for layer in get_args(Layer):
        made = document.layers.add(_layer(layer), color=BLACK_OR_WHITE)
        if ink_of(layer) == ACCENT:
            made.rgb = _rgb(ACCENT)
    for dash, name in LINE_TYPES.items():
        if lengths := DASHES[dash]:
            pattern = [length if n % 2 == 0 else -length for n, length in enumerate(lengths)]
            document.linetypes.add(name, [fsum(lengths), *pattern], description=dash)
    for style, font in FONTS.items():
        document.styles.add(style, font=font)
    document.appids.add(APPLICATION)
    document.header["$LWDISPLAY"] = 1  # widths of lines are shown
    document.set_wipeout_variables(frame=0)


def _block_names(drawing: Drawing) -> dict[str, str]:
    """A name for each symbol that every program reads."""
    names: dict[str, str] = {}
    for symbol in sorted(drawing.symbols):
        plain = re.sub(r"[^A-Z0-9]+", "_", symbol.upper()).strip("_") or "SYMBOL"
        name, n = plain, 2
        while name in names.values():
            name, n = f"{plain}_{n}", n + 1
        names[symbol] = name
    return names


class _Writer:
    """Puts items into a document; y goes up in it."""

    def __init__(self, document: Document, names: Mapping[str, str]) -> None:
        self._document = document
        self._names = names

    def blocks(self, drawing: Drawing) -> None:
        """A block for each symbol, from its left top corner."""
        for symbol, name in self._names.items():
            block = self._document.blocks.new(name)
            for shape in drawing.symbols[symbol]:
                self._item(block, shape, (0.0, 0.0))

    def sheets(self, drawing: Drawing) -> None:
        space = self._document.modelspace()
        x = height = 0.0
        for sheet in drawing.sheets:
            for item in sheet.items:
                self._item(space, item, (x, sheet.height))
            x += sheet.width + BETWEEN
            height = max(height, sheet.height)
        width = x - BETWEEN
        self._document.header["$EXTMIN"] = (0.0, 0.0, 0.0)
        self._document.header["$EXTMAX"] = (width, height, 0.0)
        self._document.set_modelspace_vport(max(height, width / 1.5), (width / 2, height / 2))

    def _item(self, space: BaseLayout, item: Item, origin: Point) -> None:
        entities = list(self._entities(space, item, origin))
        for entity in entities:
            if item.of:
                entity.set_xdata(APPLICATION, [(1000, item.of)])

    def _entities(self, space: BaseLayout, item: Item, origin: Point) -> Iterator[DXFEntity]:
        def there(point: Point) -> Point:
            return (round(origin[0] + point[0], 4) + 0.0, round(origin[1] - point[1], 4) + 0.0)

        look: dict[str, Any] = {"layer": _layer(item.layer)}
        if not isinstance(item, Words | Use):
            look["lineweight"] = _lineweight(item.width)
        match item:
            case Use():
                yield space.add_blockref(self._names[item.symbol], there(item.at), look)
            case Stroke():
                points, head = with_head(item)
                placed = [there(point) for point in points]
                yield from _filled(space, placed, item.fill, look)
                look["linetype"] = LINE_TYPES[item.dash]
                yield space.add_lwpolyline(placed, close=item.closed, dxfattribs=look)
                if head:
                    yield from _filled(space, [there(point) for point in head], "ink", look)
            case Circle():
                edge = [there(point) for point in points_of(item)]
                yield from _filled(space, edge, item.fill, look)
                yield space.add_circle(there(item.centre), item.radius, look)
            case Arc():
                turns = (-item.end, -item.start)  # the other way round, as y goes up
                yield space.add_arc(there(item.centre), item.radius, *turns, dxfattribs=look)
            case Words():
                yield _text(space, item, there(item.at), look)


def _text(space: BaseLayout, item: Words, at: Point, look: dict[str, Any]) -> DXFEntity:
    from ezdxf.enums import TextEntityAlignment

    sides = {
        "start": TextEntityAlignment.LEFT,
        "middle": TextEntityAlignment.CENTER,
        "end": TextEntityAlignment.RIGHT,
    }
    look["style"] = BOLD if item.bold else PLAIN
    height = round(CAPITAL * item.size, 3)
    text = space.add_text(_literal(item.text), height=height, dxfattribs=look)
    return text.set_placement(at, align=sides[item.anchor])


def _literal(text: str) -> str:
    """A text in which nothing is read as a code of the format."""
    return re.sub("%{2,}", lambda run: "%%%" * len(run[0]), text).replace("^", "^ ")


def _filled(
    space: BaseLayout, edge: Iterable[Point], fill: Fill, look: Mapping[str, Any]
) -> Iterator[DXFEntity]:
    """What a closed line is filled with."""
    own = {"layer": look["layer"]}
    if fill == "paper":
        yield space.add_wipeout(list(edge), dxfattribs=own)
    elif fill != "none":
        hatch = space.add_hatch(dxfattribs=own)
        hatch.dxf.color = 256  # of its layer
        if fill == "tint":
            hatch.rgb = _rgb(TINT)
        hatch.paths.add_polyline_path(list(edge), is_closed=True)
        yield hatch


def _layer(layer: Layer) -> str:
    return layer.upper()


def _lineweight(width: float) -> int:
    """In hundredths of a millimetre, of the widths that the format has."""
    allowed = (13, 18, 25, 35, 50, 70, 100)
    return min(allowed, key=lambda weight: abs(weight - 100 * width))


def _rgb(colour: str) -> tuple[int, int, int]:
    return (int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16))
