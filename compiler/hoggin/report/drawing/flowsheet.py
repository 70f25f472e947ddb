"""The flowsheet of a plant: results -> diagrams -> sheets. The one entry for every backend."""

from __future__ import annotations

from hoggin.report.drawing.layout import diagrams
from hoggin.report.drawing.model import Drawing
from hoggin.report.drawing.sheet import drawing
from hoggin.schema.results import Results


def flowsheet(results: Results, paper: str = "A3") -> Drawing:
    """The sheets of a plant. Raises: HogginError where it can't be laid out."""
    return drawing(results, diagrams(results), paper)
