"""The flowsheet of a plant: results -> diagrams -> sheets. The one entry for every backend."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from hoggin.report.drawing.diagram import Diagram
from hoggin.report.drawing.layout import diagrams
from hoggin.report.drawing.model import Drawing, Shape
from hoggin.report.drawing.sheet import drawing
from hoggin.report.drawing.symbols import CALLED, base, symbol
from hoggin.schema.results import Results


def flowsheet(results: Results, paper: str = "A3") -> Drawing:
    """The sheets of a plant. Raises: HogginError where it can't be laid out."""
    return on_sheets(results, diagrams(results), paper)


def on_sheets(results: Results, made: Sequence[Diagram], paper: str = "A3") -> Drawing:
    """Diagrams that are laid out, set on sheets."""
    used = sorted({placed.symbol for one in made for placed in one.placed})
    shapes: Mapping[str, tuple[Shape, ...]] = {name: symbol(name).shapes for name in used}
    words = {name: CALLED[base(name)] for name in used}
    return drawing(results, made, shapes, words, paper)
