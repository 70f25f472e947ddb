"""A drawing through Typst: the same paths and words for the PDF and the PNG.

The same drawing gives the same bytes on every machine: fonts of the system are left out, no file is
read but the template, and no time is stamped in.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from importlib.resources import files
from typing import Any, Literal

from hoggin.errors import HogginError
from hoggin.report.drawing.block import moved
from hoggin.report.drawing.diagram import Point
from hoggin.report.drawing.geometry import DASHES, on_circle, with_head
from hoggin.report.drawing.ink import FILLS, ink_of
from hoggin.report.drawing.lettering import FONT_PACKAGE
from hoggin.report.drawing.model import Arc, Circle, Drawing, Item, Layer, Stroke, Use, Words

Step = tuple[str | float, ...]


def typeset(drawing: Drawing, form: Literal["pdf", "png"], dpi: float | None = None) -> list[bytes]:
    """The drawing in a form: the PDF of all sheets, or a PNG of each.

    Raises: HogginError where the engine is missing or refuses the drawing.
    """
    try:
        import typst
    except ImportError as error:
        raise HogginError(
            "the typesetting engine is missing: install the Python package typst"
        ) from error
    try:
        made = typst.compile(
            template("sheets.typ"),
            format=form,
            ppi=dpi,
            font_paths=typst.Fonts(
                include_system_fonts=False,
                include_embedded_fonts=True,  # for signs that the first font lacks
                font_paths=[str(files(FONT_PACKAGE) / "files")],
            ),
            ignore_system_fonts=True,
            sys_inputs={"drawing": json.dumps(facts(drawing), sort_keys=True)},
            timestamp=0,
        )
    except typst.TypstError as error:
        raise HogginError(f"the drawing can't be typeset: {error.message}") from error
    return [made] if isinstance(made, bytes) else list(made)


def template(name: str, package: str = "hoggin.report.drawing") -> bytes:
    """A template of a package, behind the functions that set the sheets of a drawing."""
    functions = files("hoggin.report.drawing") / "templates" / "drawing.typ"
    return functions.read_bytes() + (files(package) / "templates" / name).read_bytes()


def facts(drawing: Drawing) -> dict[str, Any]:
    """The drawing as the templates read it."""
    sheets = [
        {
            "width": sheet.width,
            "height": sheet.height,
            "items": [fact for item in sheet.items for fact in _item(item, drawing)],
        }
        for sheet in drawing.sheets
    ]
    return {"title": drawing.title, "sheets": sheets}


def _item(item: Item, drawing: Drawing) -> Iterator[dict[str, Any]]:
    match item:
        case Use():
            for shape in drawing.symbols[item.symbol]:
                yield from _item(moved(shape, item.at), drawing)
        case Stroke():
            points, head = with_head(item)
            steps, fill = _lines(points, closed=item.closed), FILLS[item.fill]
            yield _path(steps, item.layer, item.width, fill, DASHES[item.dash])
            if head:
                yield _path(_lines(head, closed=True), item.layer, 0.0, ink_of(item.layer))
        case Circle():
            steps = [*_bow(item.centre, item.radius, 0.0, 360.0), ("z",)]
            yield _path(steps, item.layer, item.width, FILLS[item.fill])
        case Arc():
            steps = list(_bow(item.centre, item.radius, item.start, item.end))
            yield _path(steps, item.layer, item.width)
        case Words():
            yield {
                "x": _tidy(item.at[0]), "y": _tidy(item.at[1]), "text": item.text,
                "size": item.size, "anchor": item.anchor, "bold": item.bold,
                "ink": ink_of(item.layer),
            }  # fmt: skip


def _path(
    steps: list[Step],
    layer: Layer,
    width: float,
    fill: str = "",
    dash: tuple[float, ...] = (),
) -> dict[str, Any]:
    return {"steps": steps, "ink": ink_of(layer), "width": width, "fill": fill, "dash": dash}


def _lines(points: tuple[Point, ...], *, closed: bool) -> list[Step]:
    steps: list[Step] = [("l", _tidy(x), _tidy(y)) for x, y in points]
    steps[0] = ("m", *steps[0][1:])
    return [*steps, ("z",)] if closed else steps


def _bow(centre: Point, radius: float, start: float, end: float) -> Iterator[Step]:
    """An arc in pieces of a quarter at most, each as one cubic curve."""
    turn = (end - start) % 360.0 or 360.0
    pieces = math.ceil(turn / 90.0)
    each = turn / pieces
    reach = 4.0 / 3.0 * math.tan(math.radians(each) / 4.0) * radius
    x, y = on_circle(centre, radius, start)
    yield ("m", _tidy(x), _tidy(y))
    for n in range(pieces):
        a, b = start + n * each, start + (n + 1) * each
        (ax, ay), (bx, by) = on_circle(centre, radius, a), on_circle(centre, radius, b)
        (ux, uy), (vx, vy) = on_circle((0, 0), reach, a + 90.0), on_circle((0, 0), reach, b - 90.0)
        yield ("c", *map(_tidy, (ax + ux, ay + uy, bx + vx, by + vy, bx, by)))


def _tidy(mm: float) -> float:
    """To a thousandth of a millimetre, never a negative zero."""
    return round(mm, 3) + 0.0
