"""The result that is requested, as the left side of a `require` line."""

from __future__ import annotations

from hoggin.revise.why.lines import Line, Path
from hoggin.revise.why.project import MAIN
from hoggin.schema.asked import is_share
from hoggin.schema.plant import Combination, Expression, Limit, Plant
from hoggin.syntax import given, tree

_ASKED: Path = (MAIN, "plant", "asked")


def asked_line(result: tree.Expression) -> Line:
    """The plant's line that asks for the result."""
    return Line(_ASKED, result.span.text, given.asking(result), result.span, "", "")


def asked(plant: Plant) -> Expression:
    """The result asked for, as the checker understood it."""
    requirement = limit(plant)
    assert isinstance(requirement.expression, Combination)
    return requirement.expression.left


def unit_of(plant: Plant) -> tuple[str, float]:
    """The unit to tell the result in, and how many of it a reading's unit holds."""
    unit = limit(plant).unit
    if unit or not is_share(asked(plant)):
        return unit, 1.0
    return "%", 100.0


def limit(plant: Plant) -> Limit:
    (requirement,) = plant.requirements
    assert isinstance(requirement, Limit)
    return requirement
