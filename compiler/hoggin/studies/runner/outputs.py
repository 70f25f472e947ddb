"""What a study reports of a plant: results with their units and limits."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from hoggin.balance.result import Array
from hoggin.rating.requirements import judged, met
from hoggin.schema.asked import asked
from hoggin.schema.plant import Combination, Constant, Expression, Meets, Plant, Reading
from hoggin.schema.results import Judgement
from hoggin.studies.runner.spread import Part


@dataclass(frozen=True)
class Output:
    """A result to be reported. `value` is in trade units, and `scale` of its own unit make one.

    expression is None for the margin of a band, which is that of the requirement `margin_of`.
    """

    name: str
    unit: str
    scale: float
    expression: Expression | None
    margin_of: int | None = None


@dataclass(frozen=True)
class OutputLimit:
    """A requirement's limit on an output, in the output's unit."""

    output: int
    requirement: int
    low: float | None
    high: float | None


@dataclass(frozen=True)
class Outputs:
    """The outputs in order, and the limits on them."""

    outputs: tuple[Output, ...]
    limits: tuple[OutputLimit, ...]

    @property
    def expressions(self) -> tuple[Expression, ...]:
        return tuple(o.expression for o in self.outputs if o.expression is not None)

    def values(self, part: Part) -> Array:
        """Every output of every case, (outputs, B), in its own unit; NaN where it has no value."""
        read = iter(part.values)
        rows = [
            next(read) * output.scale
            if output.expression is not None
            else part.margins[output.margin_of]
            for output in self.outputs
        ]
        return np.array(rows).reshape(len(self.outputs), part.settled.size)


def outputs(plant: Plant, asked: Iterable[Output]) -> Outputs:
    """Each output once, with the limits of the plant's requirements."""
    found: dict[Expression | int, Output] = {}
    for output in asked:
        key = output.margin_of if output.expression is None else output.expression
        assert key is not None
        found.setdefault(key, output)
    limits = []
    place = {key: place for place, key in enumerate(found)}
    for number, requirement in enumerate(plant.requirements):
        if isinstance(requirement, Meets):
            if number in place:
                limits.append(OutputLimit(place[number], number, 0.0, None))
            continue
        if requirement.expression not in place:
            continue
        at = place[requirement.expression]
        size = requirement.unit_size * list(found.values())[at].scale
        low, high = (
            None if side is None else side * size for side in (requirement.low, requirement.high)
        )
        limits.append(OutputLimit(at, number, low, high))
    return Outputs(tuple(found.values()), tuple(limits))


def of_requirements(plant: Plant) -> list[Output]:
    """What each requirement is about: its expression, or the margin on its band."""
    found = []
    for number, requirement in enumerate(plant.requirements):
        if isinstance(requirement, Meets):
            name = f"{requirement.product} on {requirement.band.name}: margin"
            found.append(Output(name, requirement.unit, 1.0, None, number))
        else:
            asked, scale = requirement.expression, 1 / requirement.unit_size
            found.append(Output(said_of(asked), requirement.unit, scale, asked))
    return found


def of_reading(kind: str, subject: str, quantity: str, size_mm: float | None = None) -> Output:
    """A single result of a thing of this kind, in the unit that it is declared in."""
    reading = Reading(subject=subject, quantity=quantity, size_mm=size_mm)
    one = asked(kind)[quantity]
    scale = 100.0 if one.is_share else 1 / one.scale
    return Output(said_of(reading), one.unit, scale, reading)


def said_of(expression: Expression) -> str:
    """An expression as `require` has it."""
    match expression:
        case Constant(value=value):
            return f"{value:g}"
        case Reading(subject=subject, quantity=quantity, size_mm=size):
            return f"{subject or 'plant'}.{quantity}" + ("" if size is None else f"({size:g} mm)")
        case Combination(operator=operator, left=left, right=right):
            if operator == "*" and left == Constant(value=-1.0):
                return f"-{_bracketed(right)}"
            if operator in "*/":
                return f"{_bracketed(left)} {operator} {_bracketed(right)}"
            second = _bracketed(right) if operator == "-" else said_of(right)
            return f"{said_of(left)} {operator} {second}"


def _bracketed(expression: Expression) -> str:
    said = said_of(expression)
    return f"({said})" if isinstance(expression, Combination) else said


@dataclass(frozen=True)
class Verdicts:
    """What the margins of a part say: of each requirement in each case, (R, B), its judgement; by
    case, the overloaded machines, and whether the plant can run as balanced and meets them all."""

    by_requirement: tuple[tuple[Judgement, ...], ...]
    overloaded: tuple[tuple[str, ...], ...]
    all_met: tuple[bool, ...]


def verdicts(plant: Plant, part: Part) -> Verdicts:
    """The verdicts on every case of a part. A case without a balance meets nothing."""
    rows = zip(plant.requirements, part.margins, part.void, strict=True)
    judgements = tuple(
        tuple(judged(bool(yes), void=bool(no)) for yes, no in zip(met(one, m), void, strict=True))
        for one, m, void in rows
    )
    tags = [machine.tag for machine in plant.machines]
    overloaded = tuple(
        tuple(tag for tag, over in zip(tags, column, strict=True) if over)
        for column in part.overloaded.T
    )
    all_met = tuple(
        bool(settled) and not over and all(row[case] == "met" for row in judgements)
        for case, (settled, over) in enumerate(zip(part.settled, overloaded, strict=True))
    )
    return Verdicts(judgements, overloaded, all_met)
