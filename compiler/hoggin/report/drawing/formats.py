"""A drawing in every format, as bytes by file name."""

from __future__ import annotations

from hoggin.report.drawing.dxf import dxf
from hoggin.report.drawing.model import Drawing
from hoggin.report.drawing.pdf import pdf
from hoggin.report.drawing.png import png
from hoggin.report.drawing.svg import svg


def files(drawing: Drawing, stem: str) -> dict[str, bytes]:
    """`STEM.pdf` and `STEM.dxf` with all sheets; an SVG and a PNG for each sheet: `STEM.svg` where
    there is one, else `STEM-1.svg` and so on.

    Raises: HogginError where a package is missing or a sheet can't be set.
    """
    found = {f"{stem}.pdf": pdf(drawing), f"{stem}.dxf": dxf(drawing)}
    for form, made in (("svg", svg(drawing)), ("png", png(drawing))):
        found |= {
            f"{name}.{form}": one for name, one in zip(_names(drawing, stem), made, strict=True)
        }
    return found


def _names(drawing: Drawing, stem: str) -> list[str]:
    if len(drawing.sheets) == 1:
        return [stem]
    return [f"{stem}-{number}" for number in range(1, len(drawing.sheets) + 1)]
