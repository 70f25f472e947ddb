"""A drawing as a PDF: a page for each sheet, at its size, with lines as vectors and real text."""

from __future__ import annotations

from hoggin.report.drawing.model import Drawing
from hoggin.report.drawing.typeset import typeset


def pdf(drawing: Drawing) -> bytes:
    """The PDF of all sheets.

    Raises: HogginError where the engine is missing or refuses the drawing.
    """
    return typeset(drawing, "pdf")[0]
