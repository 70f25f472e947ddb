"""A drawing in every format, as bytes by file name."""

from __future__ import annotations

from collections.abc import Collection

from hoggin.report.drawing.dxf import dxf
from hoggin.report.drawing.model import Drawing
from hoggin.report.drawing.pdf import pdf
from hoggin.report.drawing.png import png
from hoggin.report.drawing.svg import svg

FORMATS = ("pdf", "dxf", "svg", "png")
_OF_ALL_SHEETS = {"pdf": pdf, "dxf": dxf}
_OF_EACH_SHEET = {"svg": svg, "png": png}


def files(drawing: Drawing, stem: str, forms: Collection[str] = FORMATS) -> dict[str, bytes]:
    """`STEM.pdf` and `STEM.dxf` with all sheets; an SVG and a PNG for each sheet: `STEM.svg` where
    there is one, else `STEM-1.svg` and so on. `forms` are those that are wanted.

    Raises: HogginError where a package is missing or a sheet can't be set.
    """
    found = {
        f"{stem}.{form}": made(drawing) for form, made in _OF_ALL_SHEETS.items() if form in forms
    }
    for form, made_each in _OF_EACH_SHEET.items():
        if form in forms:
            names = (f"{name}.{form}" for name in _names(drawing, stem))
            found |= zip(names, made_each(drawing), strict=True)
    return found


def _names(drawing: Drawing, stem: str) -> list[str]:
    if len(drawing.sheets) == 1:
        return [stem]
    return [f"{stem}-{number}" for number in range(1, len(drawing.sheets) + 1)]
