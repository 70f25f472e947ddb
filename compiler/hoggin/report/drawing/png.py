"""A drawing as pictures: a PNG for each sheet."""

from __future__ import annotations

from hoggin.report.drawing.model import Drawing
from hoggin.report.drawing.typeset import typeset

DPI = 200.0  # at which text of 1.8 mm is legible


def png(drawing: Drawing, dpi: float = DPI) -> tuple[bytes, ...]:
    """The PNG of each sheet.

    Raises: HogginError where the engine is missing or refuses the drawing.
    """
    return tuple(typeset(drawing, "png", dpi))
