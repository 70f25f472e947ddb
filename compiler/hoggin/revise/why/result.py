"""The result that is asked for, as the left side of a `require` line."""

from __future__ import annotations

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.errors import HogginError
from hoggin.revise.why.lines import Line, Path
from hoggin.revise.why.project import MAIN
from hoggin.schema.asked import is_share
from hoggin.schema.plant import Combination, Expression, Limit, Plant
from hoggin.syntax import tree
from hoggin.syntax.parser import parse

_ASKED: Path = (MAIN, "plant", "asked")
_HOW = "write it as on the left of a `require` line: `chips.rate`, `chips.passing(4 mm)`"


def read_result_text(text: str) -> tree.Expression:
    """The expression of a result. Raises HogginError."""
    diagnostics = Diagnostics()
    line = " ".join(text.split())
    file = parse(Source("RESULT", f"require {line} >= 0\n"), diagnostics)
    match file.statements:
        case (tree.Requirement(condition=tree.Comparison(operator=">=", left=left)),) if (
            not diagnostics.has_errors
        ):
            return left
    raise HogginError(f"`{line}` is no result: {_HOW}")


def asked_line(result: tree.Expression) -> Line:
    """A plant's line that holds the result against itself: so the checker gives the expression
    with its unit, whatever kind of quantity it is."""
    node = tree.Requirement(result.span, tree.Comparison(result.span, ">=", result, result))
    return Line(_ASKED, result.span.text, node, result.span, "", "")


def asked(plant: Plant) -> Expression:
    """The result asked for, as the checker understood it."""
    requirement = _limit(plant)
    assert isinstance(requirement.expression, Combination)
    return requirement.expression.left


def unit_of(plant: Plant) -> tuple[str, float]:
    """The unit to tell the result in, and how many of it a reading's unit holds."""
    unit = _limit(plant).unit
    if unit or not is_share(asked(plant)):
        return unit, 1.0
    return "%", 100.0


def _limit(plant: Plant) -> Limit:
    (requirement,) = plant.requirements
    assert isinstance(requirement, Limit)
    return requirement
