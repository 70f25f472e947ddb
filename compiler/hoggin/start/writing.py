"""Writes a plan as the text of a plant, with comments for its next reader."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined, Template

from hoggin.diagnostics.source import Source
from hoggin.schema.units import number_text
from hoggin.start.gradings import usual_grading
from hoggin.start.plan import DECK_NAMES, Plan
from hoggin.syntax.layout import laid_out


def written(plan: Plan, name: str = "plant.hog") -> str:
    """The plant as text, in the standard layout."""
    text = drafted(plan, "sieves.quarry")
    laid = laid_out(Source(name, text))
    return laid if isinstance(laid, str) else text


def drafted(plan: Plan, sieves: str) -> str:
    """The plant as text with these reporting sieves; columns are not yet aligned."""
    grading = usual_grading(plan.answers)
    return _template().render(
        plan=plan,
        sieves=sieves,
        grading=[f"{_mm(size)}: {number_text(part)} %" for size, part in grading],
        surge_t=max(100, round(4 * plan.answers.rate_t_h, -2)),
        routes=list(_routes(plan)),
        deck_names=DECK_NAMES,
    )


@cache
def _template() -> Template:
    environment = Environment(
        loader=PackageLoader("hoggin.start"),
        autoescape=False,  # text of the language, from names and numbers of our own
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters.update(number=number_text, mm=_mm)
    return environment.get_template("plant.hog.j2")


def _mm(size: float) -> str:
    return f"{number_text(size)} mm"


def _routes(plan: Plan) -> Iterator[tuple[str, str]]:
    """The outlets of a line's sizing screens, and where each runs to."""
    tags = [product.tag for product in plan.answers.products]  # the coarsest last
    for name, cuts in (("sizing", plan.sizing_cuts_mm), ("fines", plan.fines_cuts_mm)):
        for deck, cut in zip(DECK_NAMES.get(len(cuts), ()), cuts, strict=True):
            closes = plan.finishing and cut == plan.cuts_mm[0]
            yield f"{name}.{deck}.over", "finishing -> sizing" if closes else tags.pop()
        if name == "sizing" and plan.fines_cuts_mm:
            yield "sizing.under", "fines"
    yield f"{'fines' if plan.fines_cuts_mm else 'sizing'}.under", tags.pop()
