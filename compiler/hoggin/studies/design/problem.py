"""The unknowns and how cases are judged: one alternative of a plant as numbers.

Settings that are free become unknowns, requirements become sides (each upper or lower limit, each
sieve of a band by itself, so that they are smooth), aims become costs.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.result import Array
from hoggin.rating.overload import fitting
from hoggin.rating.requirements import slack
from hoggin.schema.plant import Aim, Expression, Limit, Meets, Plant, Reading, Requirement
from hoggin.schema.tracing import (
    OF_CLASS,
    PHYSICAL,
    Bound,
    Formula,
    Freedom,
    Operation,
    Path,
    Variable,
)
from hoggin.schema.units import Unit, known, unit_of
from hoggin.studies.runner.formulas import numbers
from hoggin.studies.runner.spread import Batch

_BAND_SLACK = 0.0005  # fraction passing, as rating has it
_BAND_SCALE = 0.1  # a tenth passing too much is as bad as a limit missed by its whole size
_ROUNDING = 1e-9  # of a range's size
_NO_SIZE = 0.01  # SI, of a range that ends at 0: a centimetre, a per cent
_GAP = 1e-6  # m, between the apertures of two decks


@dataclass(frozen=True)
class Unknown:
    """A free setting. Numbers are in SI units: the ends of a range, or each of a choice, rising.

    variables: names of the free numbers it stands for. If a template or library is used twice, the
    same words in it are two free numbers but one setting, because the text has them once.
    """

    name: str
    variables: tuple[str, ...]
    variable: Variable

    @property
    def is_choice(self) -> bool:
        return self.variable.kind == "choice"

    @property
    def unit(self) -> Unit:
        """The unit it is written in."""
        return unit_of(self.variable.unit, self.variable.dimension) or known("number")

    @cached_property
    def numbers(self) -> tuple[float, ...]:
        return tuple(sorted(self.variable.numbers))


@dataclass(frozen=True)
class Side:
    """`sign * (value - bound)` is not below 0. All in trade units and fractions, as the
    expression; `unit_size` of those make one of the requirement's."""

    requirement: int
    expression: Expression
    sign: float
    bound: float
    unit_size: float
    slack: float
    scale: float


@dataclass(frozen=True)
class Problem:
    """One alternative of a plant. Values of its unknowns are (B, n), in SI units."""

    plant: Plant
    freedom: Freedom

    @cached_property
    def unknowns(self) -> tuple[Unknown, ...]:
        by_place: dict[tuple[str, tuple[int, int]], list[str]] = {}
        for name, variable in self.freedom.variables.items():
            if variable.decided:
                by_place.setdefault((variable.source, variable.place), []).append(name)
        return tuple(
            Unknown(
                names[0].removesuffix(".aperture_mm"),
                tuple(names),
                self.freedom.variables[names[0]],
            )
            for names in by_place.values()
        )

    @property
    def aims(self) -> tuple[Aim, ...]:
        return self.plant.aims

    @cached_property
    def sides(self) -> tuple[Side, ...]:
        return tuple(sides(self.requirements))

    @cached_property
    def requirements(self) -> tuple[Requirement, ...]:
        """Those that the plant states, then that each machine takes its feed: only then are
        results downstream of it worth anything."""
        return (*self.plant.requirements, *fitting(self.plant))

    @cached_property
    def is_stated(self) -> NDArray[np.bool_]:
        """(S,) whether a side is of a requirement that the plant states."""
        count = len(self.plant.requirements)
        return np.array([side.requirement < count for side in self.sides], dtype=bool)

    @cached_property
    def expressions(self) -> tuple[Expression, ...]:
        """Of the aims, then of the sides."""
        return (*(aim.expression for aim in self.aims), *(side.expression for side in self.sides))

    @cached_property
    def signs(self) -> Array:
        """Of the aims: a cost is to be least, whatever the aim's direction."""
        return np.array([-1.0 if aim.direction == "most" else 1.0 for aim in self.aims])

    @cached_property
    def start(self) -> Array:
        return np.array([unknown.variable.start for unknown in self.unknowns])

    @cached_property
    def low(self) -> Array:
        return np.array([unknown.numbers[0] for unknown in self.unknowns])

    @cached_property
    def high(self) -> Array:
        return np.array([unknown.numbers[-1] for unknown in self.unknowns])

    @cached_property
    def is_choice(self) -> NDArray[np.bool_]:
        return np.array([unknown.is_choice for unknown in self.unknowns], dtype=bool)

    def batch(self, values: Array) -> Batch:
        return {
            name: values[:, column]
            for column, unknown in enumerate(self.unknowns)
            for name in unknown.variables
        }

    def costs(self, read: Array) -> Array:
        """The costs to minimise, (B, aims), in each aim's unit; infinite without a value."""
        sizes = np.array([aim.unit_size for aim in self.aims])
        costs = (self.signs / sizes)[:, None] * read[: len(self.aims)]
        return np.where(np.isfinite(costs), costs, np.inf).T

    def margins(self, read: Array) -> Array:
        """Margins of the sides, (B, sides), each over its scale; minus infinity without a value."""
        rows = read[len(self.aims) :]
        margins = [
            side.sign * (row - side.bound) / side.scale
            for side, row in zip(self.sides, rows, strict=True)
        ]
        found = np.array(margins).reshape(len(self.sides), read.shape[1])
        return np.where(np.isfinite(found), found, -np.inf).T

    def held_room(self, values: Array) -> Array:
        """What is left to the ranges that numbers are held in, over their size, (B, 2 * held);
        below 0 outside."""
        held = self.held
        if not held:
            return np.zeros((len(values), 0))
        formulas: dict[Path, Formula] = {(n,): one.formula for n, one in enumerate(held)}
        found = numbers(Freedom(self.freedom.variables, formulas), self.batch(values))
        rows = []
        for number, one in enumerate(held):
            size = held_size(one)
            value = np.broadcast_to(found[(number,)], len(values))
            rows += [(value - one.low) / size, (one.high - value) / size]
        return np.minimum(np.array(rows), 1e3).T

    def excess(self, values: Array) -> Array:
        """How far numbers are outside their ranges, (B,); 0 if they are inside."""
        room = self.held_room(values)
        over: Array = np.where(room < -_ROUNDING, -room, 0.0).sum(axis=1)
        return over

    @cached_property
    def held(self) -> tuple[Bound, ...]:
        """The numbers that depend on free ones and have a range of their own."""
        return tuple(_held(self.plant, self.freedom))


def held_size(bound: Bound) -> float:
    """The size of a range, which what is left to its ends is divided by."""
    return max(abs(end) for end in (bound.low, bound.high) if np.isfinite(end)) or _NO_SIZE


def sides(requirements: Iterable[Requirement]) -> Iterator[Side]:
    """Every limit of every requirement."""
    for number, requirement in enumerate(requirements):
        if isinstance(requirement, Limit):
            size = requirement.unit_size
            forgiven = slack(requirement) * size
            for sign, bound in ((1.0, requirement.low), (-1.0, requirement.high)):
                if bound is not None:
                    scale = abs(bound) * size or size
                    yield Side(
                        number, requirement.expression, sign, bound * size, size, forgiven, scale
                    )
            continue
        yield from _band_sides(number, requirement)


def _band_sides(number: int, meets: Meets) -> Iterator[Side]:
    for point in meets.band.points:
        passing = Reading(subject=meets.product, quantity="passing", size_mm=point.size_mm)
        least = 1 - _BAND_SLACK if point.low == 1 else point.low  # 100 % is met a little below
        for sign, bound, binds in ((1.0, least, point.low > 0), (-1.0, point.high, point.high < 1)):
            if binds:
                forgiven = 0.0 if bound > 1 - 2 * _BAND_SLACK else _BAND_SLACK
                yield Side(number, passing, sign, bound, 0.01, forgiven, _BAND_SCALE)


def _held(plant: Plant, freedom: Freedom) -> Iterator[Bound]:
    """The numbers with a range apart from requirements: of a class, a share or a deck."""
    for bound in freedom.bounds:
        if not isinstance(bound.formula, Variable):  # its own range has been checked
            yield bound
    for path, formula in freedom.formulas.items():
        if path[-2] == "shares":
            yield Bound(str(path[-1]), formula, 0.0, 1.0, PHYSICAL, str(path[1]), known("%"))
    for machine in plant.machines:
        paths = [("machines", machine.tag, "decks", d.name, "aperture_mm") for d in machine.decks]
        apertures = [
            freedom.formulas.get(path, deck.aperture_mm)
            for path, deck in zip(paths, machine.decks, strict=True)
        ]
        pairs = zip(pairwise(apertures), pairwise(machine.decks), strict=True)
        for (upper, lower), (over, under) in pairs:
            if not isinstance(upper, float) or not isinstance(lower, float):
                gap = Operation("-", upper, lower)
                name = f"{over.name} wider than {under.name}"
                yield Bound(name, gap, _GAP, np.inf, OF_CLASS, machine.tag, known("mm"))
