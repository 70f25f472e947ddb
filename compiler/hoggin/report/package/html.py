"""The report as one HTML file: for a screen, light or dark, and for A3 paper from a browser."""

from __future__ import annotations

from importlib.resources import files
from typing import TYPE_CHECKING

from hoggin.report.package.columns import weight
from hoggin.report.package.content import Chapter, Report
from hoggin.report.package.figures import Figure, sheet_figures
from hoggin.report.tables import Table
from hoggin.report.templating import render
from hoggin.report.wording import clean

if TYPE_CHECKING:
    from markupsafe import Markup

PACKAGE = "hoggin.report.package"
LEAST_PT = 4.6  # of text in a drawing on a screen


def html(report: Report) -> bytes:
    """The report's bytes; every text of the plant is escaped."""
    style = (files(PACKAGE) / "templates" / "report.css").read_text(encoding="utf-8")
    page = render(
        "report.html.j2",
        {"clean": clean, "drawing": _drawing, "shown": _shown, "drawn": _drawn},
        package=PACKAGE,
        report=report,
        style=style.strip(),
        weight=weight,
    )
    return page.encode()


def _drawn(chapter: Chapter) -> tuple[Figure, ...]:
    return sheet_figures(chapter.drawing) if chapter.drawing is not None else ()


def _shown(table: Table) -> list[tuple[tuple[str, str], ...]]:
    """The rows of a table: of each cell, its text and the room of the decimals that it lacks."""
    places = range(len(table.columns))
    cells = [zip(table.texts(place), table.pads(place), strict=True) for place in places]
    return list(zip(*cells, strict=True))


def _drawing(figure: Figure) -> Markup:
    """The figure's SVG, told to those who hear the page, and not too small to read on a narrow
    screen: there it is wider than the screen and scrolls."""
    from markupsafe import Markup

    least = f"min-width:{figure.width_pt * LEAST_PT / figure.smallest_pt:.0f}pt"
    opening = Markup('<svg role="img" aria-label="{}" style="{}" ').format(figure.told, least)
    return opening + Markup(figure.svg.removeprefix("<svg "))
