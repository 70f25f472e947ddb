"""The package of a plant as bytes by file name."""

from __future__ import annotations

from collections.abc import Sequence

from hoggin.report.cases import State
from hoggin.report.drawing.model import Drawing
from hoggin.report.package.book import workbook
from hoggin.report.package.content import report
from hoggin.report.package.html import html
from hoggin.report.package.pdf import pdf
from hoggin.report.package.sums import sheets
from hoggin.revise.changelog import ChangeLog
from hoggin.schema.results import Results
from hoggin.studies.plausible.document import Plausible


def package(
    results: Results,
    changes: ChangeLog | None = None,
    states: Sequence[State] = (),
    ranges: Plausible | None = None,
    revised: Drawing | None = None,
) -> dict[str, bytes]:
    """Report and workbook; the same results give the same bytes. `changes` are those since an
    earlier revision. `states` are those of a plant with cases, which the report shows side by side.
    `ranges` are those of its results. `revised` is the drawing of the changes.

    Raises: HogginError when the flowsheet cannot be drawn or the report cannot be set.
    """
    told = report(results, changes, states, ranges, revised)
    return {
        "report.html": html(told),
        "report.pdf": pdf(told),
        "workbook.xlsx": workbook(told, sheets(results)),
    }
