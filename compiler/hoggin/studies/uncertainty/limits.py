"""What an uncertain number can be at most and at least: a setting has its class's range, a rate is
not below nothing, a share not above the whole.

A number that stands there by itself, or scaled, has its distribution cut at the limit. One that
enters a sum is left whole; a sample whose sum lies outside can't stand, and is left out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from hoggin.balance.result import Array
from hoggin.check.tracing import Bound, Formula, Freedom, Operation, Path, Variable
from hoggin.models import catalog
from hoggin.schema.plant import Plant
from hoggin.studies.runner.formulas import beyond

_PHYSICAL = "its physical limit"


@dataclass(frozen=True)
class Range:
    """A range of SI units and who sets it, in words."""

    low: float
    high: float
    by: str


def ranges(plant: Plant, freedom: Freedom) -> dict[str, Range]:
    """The range of every number that stands by itself somewhere, by its name."""
    names = {id(variable): name for name, variable in freedom.variables.items()}
    found: dict[str, Range] = {}
    for held, by in _held(plant, freedom):
        scaled = _scaled(held.formula)
        if scaled is None:
            continue
        variable, factor = scaled
        name = names[id(variable)]
        before = found.get(name, Range(-math.inf, math.inf, ""))
        low, high = max(before.low, held.low / factor), min(before.high, held.high / factor)
        if (low, high) != (before.low, before.high):
            whole = before.by if by in before.by else ", ".join(filter(None, (before.by, by)))
            found[name] = Range(low, high, whole)
    return found


def outside(plant: Plant, freedom: Freedom, values: Mapping[str, Array]) -> dict[int, str]:
    """Cases (B,) in which a number lies outside what it can be, each with the reason."""
    found: dict[int, str] = {}
    for held, by in _held(plant, freedom):
        if _scaled(held.formula) is None:
            for case in np.flatnonzero(beyond(held, freedom, values)):
                found.setdefault(int(case), f"`{held.name}` lies outside {by}")
    return found


def _held(plant: Plant, freedom: Freedom) -> Iterator[tuple[Bound, str]]:
    """What has to lie in a range, and who sets it."""
    for bound in freedom.bounds:
        yield bound, "its class's range"
    for path, formula in freedom.formulas.items():
        low, high, by = _domain(plant, path)
        if low > -math.inf or high < math.inf:
            yield Bound(".".join(map(str, path[1:])), formula, low, high), by


def _domain(plant: Plant, path: Path) -> tuple[float, float, str]:
    """What a number of the plant can be, in its own unit there."""
    match path:
        case ("feeds", _, "grading", _, 1) | ("machines", _, "shares", _):
            return 0.0, 1.0, _PHYSICAL
        case ("feeds", _, "rate_t_h") | ("materials", *_) | ("machines", _, "facts", _):
            return 0.0, math.inf, _PHYSICAL
        case ("machines", _, "decks", _, name) if name != "aperture_mm":
            return 0.0, 1.0 if name == "open_area" else math.inf, _PHYSICAL
        case ("machines", str(tag), "models", str(role), "coefficients", str(name)):
            machine = next(m for m in plant.machines if m.tag == tag)
            model = catalog.find(role, machine.models[role].model)
            own = () if model is None else model.coefficients
            for coefficient in own:
                if coefficient.name == name:
                    low = -math.inf if coefficient.low is None else coefficient.low
                    high = math.inf if coefficient.high is None else coefficient.high
                    return low, high, "the range of its model"
    return -math.inf, math.inf, ""


def _scaled(formula: Formula) -> tuple[Variable, float] | None:
    """The free number and the factor, above 0, where a formula is only that number scaled."""
    if isinstance(formula, Variable):
        return formula, 1.0
    if not isinstance(formula, Operation) or formula.operator not in "*/":
        return None
    left, right = formula.left, formula.right
    if formula.operator == "*" and isinstance(left, float | int):
        left, right = right, left
    if not isinstance(right, float | int) or right <= 0 or isinstance(left, float | int):
        return None
    inner = _scaled(left)
    if inner is None:
        return None
    return inner[0], inner[1] * right if formula.operator == "*" else inner[1] / right
