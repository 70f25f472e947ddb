"""Imported gradings as a library."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from hoggin.intake.gradings import Grading
from hoggin.intake.sheet import Sheet
from hoggin.report.wording import quotable
from hoggin.syntax import made, tree
from hoggin.syntax.printer import printed


def gradings_text(gradings: Iterable[Grading], sheet: Sheet) -> str:
    """A library of gradings. It has no date of its own, so the same sheet gives the same bytes."""
    heading = (
        f"# Written by `hoggin import gradings` from {quotable(sheet.name)}. You may change it.\n"
        '# A feed uses one as `passing lab.NAME`, after `use "FILE.hog" as lab`.\n'
    )
    library = printed(
        made.definition("grading", grading.name, _facts(grading, sheet)) for grading in gradings
    )
    return f"{heading}\n{library}"


def _facts(grading: Grading, sheet: Sheet) -> Iterator[tree.Fact]:
    about = [f"sample {grading.sample}" if grading.sample else "", grading.date]
    told = ", ".join(filter(None, map(quotable, about)))
    if told:
        yield made.fact("about", made.text(told))
    source = f"{quotable(sheet.name)}, {grading.place}: {grading.measured}"
    yield made.fact("source", made.text(source))
    yield made.listed(
        "passing", (made.entry(size(mm), share(part, "%")) for mm, part in grading.points)
    )


def size(mm: float) -> tree.Expression:
    return made.measure(round(mm, 6), "mm")


def share(value: float, unit: str) -> tree.Expression:
    """A number of a sheet, to four digits after the point."""
    return made.measure(round(value, 4), unit)
