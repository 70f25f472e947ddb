"""Numbers that remember how they came from free ones.

A plant may leave numbers open, `css free(10 mm to 25 mm)`, or uncertain,
`rate normal(450 t/h, 5 %)`.
The checker reads it once, at their starting values, as it reads any plant. Such a number is a
`Traced` float: arithmetic with it gives another, whose formula says how it follows. What comes out
of the checker is a plant of plain numbers, and beside it the formulas of those that depend on free
ones, which a study evaluates for as many cases as it likes at once.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from hoggin.schema.units import Dimension, Unit

Operator = Literal["+", "-", "*", "/", "^", "min", "max"]
Path = tuple[str | int, ...]
"""Where a number is in a Plant: ("machines", "tertiary", "facts", "liner_mass_t"). Feeds,
machines and decks go by tag or name, points of a grading by their place."""
Place = tuple[str, int]  # a source's name and an offset in it


@dataclass(frozen=True, eq=False, slots=True)
class Variable:
    """A free number, or a free choice of words. Numbers are in SI units; `unit` is the one it was
    written in.

    kind: "range" (low, high), "choice" (each value), "normal" (mean, standard deviation),
    "uniform" (low, high), "triangle" (low, most likely, high).
    place: offsets [start, end) in the source of this name, where a found value takes its place.
    """

    kind: Literal["range", "choice", "normal", "uniform", "triangle"]
    numbers: tuple[float, ...]
    start: float
    dimension: Dimension
    unit: str
    source: str
    place: tuple[int, int]

    @property
    def decided(self) -> bool:
        """Whether it is the designer's to choose, and not chance's."""
        return self.kind in ("range", "choice")


@dataclass(frozen=True, slots=True)
class Alternatives:
    """A free choice that is not a number: of words, or blocks. A plant is checked for one pick."""

    name: str
    options: tuple[str, ...]
    picked: int
    source: str
    place: tuple[int, int]
    bodies: tuple[tuple[int, int], ...] = ()  # where the text of each option is, of blocks


@dataclass(frozen=True, eq=False, slots=True)
class Operation:
    operator: Operator
    left: Formula
    right: Formula


Formula = Variable | Operation | float


OF_CLASS = "its class's range"
OF_MODEL = "the range of its model"
PHYSICAL = "its physical limit"


@dataclass(frozen=True, eq=False, slots=True)
class Bound:
    """A range that a number which depends on free ones has to lie in, in SI units, and who sets it.

    name: of the parameter, setting or fact, or what a rule of a class asks for. owner: the machine,
    feed or material that it is of. unit: the one it is written in.
    """

    name: str
    formula: Formula
    low: float
    high: float
    by: str = OF_CLASS
    owner: str = ""
    unit: Unit | None = None

    @property
    def place(self) -> str:
        """Where the number is in the plant: `secondary.css`."""
        return f"{self.owner}.{self.name}" if self.owner else self.name

    @property
    def is_rule(self) -> bool:
        """Whether it is what a class asks of several numbers."""
        return " " in self.name

    @property
    def asked(self) -> str:
        """What is asked, after the number's name: `must be from 20 mm to 50 mm, its class's
        range`."""
        if self.is_rule:
            return f"must keep the rule of its class: {self.name}"
        ends = [(word, end) for word, end in (("from", self.low), ("to", self.high))]
        finite = [self._ended(word, end) for word, end in ends if math.isfinite(end)]
        if len(finite) == 1:
            word = "at least" if math.isfinite(self.low) else "at most"
            finite = [f"{word} {finite[0].partition(' ')[2]}"]
        return f"must be {' '.join(finite)}, {self.by}"

    def refusal(self, value: float) -> str:
        """Why a value (SI units) is outside, in a sentence."""
        if self.is_rule:
            return f"`{self.owner}` {self.asked}"
        return f"`{self.place}` is {self.shown(value)} and {self.asked}"

    def shown(self, value: float) -> str:
        """A value in SI units, in the unit that the number is written in."""
        if self.unit is None:
            return f"{value:.6g}"
        return self.unit.with_number(f"{value / self.unit.size:.6g}")

    def _ended(self, word: str, end: float) -> str:
        return f"{word} {self.shown(end)}"


class Traced(float):
    """A float with the formula it came by."""

    __slots__ = ("formula",)
    formula: Formula

    def __new__(cls, value: float, formula: Formula) -> Traced:
        made = super().__new__(cls, value)
        made.formula = formula
        return made

    def __add__(self, other: float) -> Traced:
        return combined("+", self, other)

    def __radd__(self, other: float) -> Traced:
        return combined("+", other, self)

    def __sub__(self, other: float) -> Traced:
        return combined("-", self, other)

    def __rsub__(self, other: float) -> Traced:
        return combined("-", other, self)

    def __mul__(self, other: float) -> Traced:
        return combined("*", self, other)

    def __rmul__(self, other: float) -> Traced:
        return combined("*", other, self)

    def __truediv__(self, other: float) -> Traced:
        return combined("/", self, other)

    def __rtruediv__(self, other: float) -> Traced:
        return combined("/", other, self)

    def __pow__(self, other: float, _modulo: None = None) -> Traced:
        return combined("^", self, other)

    def __rpow__(self, other: float, _modulo: None = None) -> Traced:
        return combined("^", other, self)

    def __neg__(self) -> Traced:
        return combined("-", 0.0, self)


_PLAIN: Mapping[Operator, Any] = {
    "+": float.__add__,
    "-": float.__sub__,
    "*": float.__mul__,
    "/": float.__truediv__,
    "^": float.__pow__,
    "min": min,
    "max": max,
}


def combined(operator: Operator, left: float, right: float) -> Traced:
    """Two numbers, one of them traced, by an operator."""
    value = _PLAIN[operator](float(left), float(right))
    return Traced(value, Operation(operator, _formula(left), _formula(right)))


def lesser(left: float, right: float) -> float:
    """`min` that keeps both formulas."""
    traced = isinstance(left, Traced) or isinstance(right, Traced)
    return combined("min", left, right) if traced else min(left, right)


def greater(left: float, right: float) -> float:
    """`max` that keeps both formulas."""
    traced = isinstance(left, Traced) or isinstance(right, Traced)
    return combined("max", left, right) if traced else max(left, right)


def rounded(value: float, digits: int) -> float:
    """A number to so many significant digits; a traced one keeps its formula."""
    plain = float(f"{float(value):.{digits}g}")
    return Traced(plain, value.formula) if isinstance(value, Traced) else plain


def extremes(number: float) -> tuple[float, ...]:
    """The values to hold against a limit: all of a free choice, both ends of a free number's range,
    else the number."""
    formula = number.formula if isinstance(number, Traced) else None
    if isinstance(formula, Variable) and formula.kind != "normal":
        chosen = sorted(formula.numbers)
        return tuple(chosen) if formula.kind == "choice" else (chosen[0], chosen[-1])
    return (float(number),)


def listed(number: float) -> bool:
    """Whether all values that a number may take are known one by one."""
    formula = number.formula if isinstance(number, Traced) else None
    return formula is None or (isinstance(formula, Variable) and formula.kind == "choice")


def _formula(number: float) -> Formula:
    return number.formula if isinstance(number, Traced) else float(number)


@dataclass
class Traces:
    """The formulas of a plant's numbers, gathered while it is checked."""

    # By scope, and by source and offset.
    variables: dict[tuple[object, str, int], Variable] = field(default_factory=dict)
    alternatives: dict[Place, Alternatives] = field(default_factory=dict)
    names: dict[Variable, str] = field(default_factory=dict)
    formulas: dict[Path, Formula] = field(default_factory=dict)
    bounds: list[Bound] = field(default_factory=list)
    owner: str = ""  # the machine, feed or material that is being read

    @contextmanager
    def of(self, owner: str) -> Iterator[None]:
        """While a machine, feed or material of this name is read."""
        before, self.owner = self.owner, owner
        try:
            yield
        finally:
            self.owner = before

    def bound(
        self,
        name: str,
        value: float,
        low: float,
        high: float,
        by: str = OF_CLASS,
        unit: Unit | None = None,
    ) -> None:
        """Keep the range that a number has to lie in, where it depends on a free one."""
        if isinstance(value, Traced):
            formula, ends = value.formula, (float(low), float(high))
            self.bounds.append(Bound(name, formula, *ends, by, self.owner, unit))

    def name(self, value: object, name: str) -> None:
        """Call a free number by the first name that is given to it alone. A quantity is in SI
        units, a plain number in the trade's: that is, divided by its unit."""
        number = getattr(value, "si", value)
        formula = number.formula if isinstance(number, Traced) else None
        if number is value and isinstance(formula, Operation) and isinstance(formula.right, float):
            formula = formula.left if formula.operator == "/" else None
        if isinstance(formula, Variable):
            self.names.setdefault(formula, name)

    def keep(self, path: Path, value: object) -> None:
        """Keep the formulas of all traced numbers within a value that is at a path."""
        for inner, number in _numbers(value):
            self.formulas[(*path, *inner)] = number.formula


@dataclass(frozen=True)
class Freedom:
    """What a plant leaves open: free and uncertain numbers by name, in the order of what they set,
    the formulas of all numbers that depend on them, and choices that are not numbers."""

    variables: Mapping[str, Variable] = field(default_factory=dict)
    formulas: Mapping[Path, Formula] = field(default_factory=dict)
    alternatives: Mapping[Place, Alternatives] = field(default_factory=dict)
    bounds: tuple[Bound, ...] = ()


def gathered(traces: Traces, order: Mapping[str, int]) -> Freedom:
    """The freedom of a plant that has been checked; a number nothing depends on is not part of it.
    What is open comes in the order of what it sets: `order` has the places of tags."""

    def rank(path: Path) -> tuple[int, tuple[str, ...]]:
        return order.get(str(path[1]), -1), tuple(map(str, path))

    formulas = {path: traces.formulas[path] for path in sorted(traces.formulas, key=rank)}
    used = dict.fromkeys(
        variable for formula in formulas.values() for variable in variables(formula)
    )
    named: dict[str, Variable] = {}
    for variable in used:
        name = traces.names.get(variable, f"{variable.source}:{variable.place[0]}")
        count = sum(other.partition(" ")[0] == name for other in named)
        named[f"{name} {count + 1}" if count else name] = variable
    bounds = sorted(
        (b for b in traces.bounds if used.keys() >= set(variables(b.formula))),
        key=lambda bound: (bound.name, bound.low, bound.high, bound.owner),
    )
    # Blocks come before words, which may be in an option of one.
    alternatives = sorted(
        traces.alternatives.items(), key=lambda item: (not item[1].bodies, item[1].name, item[0])
    )
    return Freedom(named, formulas, dict(alternatives), tuple(bounds))


def variables(formula: Formula) -> Iterator[Variable]:
    """Every free number in a formula, as often as it occurs there."""
    if isinstance(formula, Variable):
        yield formula
    elif isinstance(formula, Operation):
        yield from variables(formula.left)
        yield from variables(formula.right)


def _numbers(value: object) -> Iterator[tuple[Path, Traced]]:
    if isinstance(value, Traced):
        yield (), value
    elif isinstance(value, Mapping):
        for key, item in value.items():
            yield from (((str(key), *path), found) for path, found in _numbers(item))
    elif isinstance(value, Sequence) and not isinstance(value, str):
        for index, item in enumerate(value):
            yield from (((index, *path), found) for path, found in _numbers(item))
