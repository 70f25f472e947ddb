"""The syntax tree: what the text says, each node with its span. It knows no units and no trade."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, cast, dataclass_transform

from hoggin.diagnostics.source import Source, Span


@dataclass_transform(frozen_default=True, eq_default=False)
class _Record(type):
    """Makes frozen records with slots, each equal only to itself. It is the type checker that holds
    them frozen: plain dataclasses are made several times faster, and a plant has thousands of
    nodes."""

    def __new__(cls, name: str, bases: tuple[type, ...], body: dict[str, Any]) -> _Record:
        body["__slots__"] = tuple(body.get("__annotations__", ()))
        made = super().__new__(cls, name, bases, body)
        dataclass(eq=False, repr=False)(cast(type[Any], made))
        return made


class Node(metaclass=_Record):
    span: Span


# --- expressions -------------------------------------------------------------------------------


class Ident(Node):
    text: str


class DottedIdent(Ident):
    """The name of a fact that is stated away from its block: `granite.moisture`, in a case."""

    parts: tuple[Ident, ...]


class Measure(Node):
    """A number with a unit: `32 mm`."""

    number: float
    unit: str


class Number(Node):
    number: float


class Text(Node):
    text: str


class Path(Node):
    """A dotted name: `sizing.top.over`."""

    parts: tuple[Ident, ...]

    @property
    def dotted(self) -> str:
        return ".".join(part.text for part in self.parts)


class Range(Node):
    """`10 mm to 25 mm`."""

    low: Expression
    high: Expression


class Call(Node):
    function: Path
    arguments: tuple[Expression | Range, ...]


class Negated(Node):
    operand: Expression


class Arithmetic(Node):
    operator: str
    left: Expression
    right: Expression


class Entry(Node):
    """`size: value`, `size: low to high`, `choice: value`, `setting: { ... }`, or a bare `size` in
    a list."""

    key: Expression
    value: Expression | None
    upper: Expression | None


class Row(Node):
    """`{ 63 mm: 100 %, 38 mm: 85 % }` as the value of an entry: a row of a table."""

    entries: tuple[Entry, ...]


class By(Node):
    """`by chamber { coarse: 1.2, fine: 0.9 }`."""

    choice: Path
    entries: tuple[Entry, ...]


Expression = Measure | Number | Text | Path | Call | Negated | Arithmetic | By | Row


# --- conditions --------------------------------------------------------------------------------


class Comparison(Node):
    operator: str
    left: Expression
    right: Expression


class Within(Node):
    value: Expression
    limits: Range


class MeetsBand(Node):
    product: Path
    band: Path


class All(Node):
    conditions: tuple[Condition, ...]


class AnyOf(Node):
    conditions: tuple[Condition, ...]


Condition = Comparison | Within | MeetsBand | All | AnyOf


# --- statements --------------------------------------------------------------------------------


class Statement(Node):
    """What may be on a line of its own."""


class Use(Statement):
    """`use std.cones`, `use std.cones as c` or `use "lib/ours.hog" as ours`."""

    target: Path | Text
    alias: Ident | None
    # What is stated of the library's materials in a case, as `granite.moisture 5 %`.
    changed: tuple[Fact, ...]

    @property
    def name(self) -> Ident:
        """What the file calls the library; empty where it has to be said, and is not."""
        if self.alias is None and isinstance(self.target, Path):
            return self.target.parts[-1]
        return self.alias or Ident(self.span, "")


class Let(Statement):
    name: Ident
    value: Expression


class Requirement(Statement):
    """`cases` names those it holds in; none where it holds in all."""

    condition: Condition
    cases: tuple[Ident, ...]


class Rule(Statement):
    condition: Condition
    reason: Text


class UnitType(Node):
    """A parameter's type by unit: `mm`, `t/h`, `%`, or the word `number` or `text`."""

    unit: str


class ChoiceType(Node):
    choices: tuple[Ident, ...]


class ClassType(Node):
    """`class crusher`: a template's parameter stands for a class of that kind."""

    kind: Ident


ParameterType = UnitType | ChoiceType | Range | ClassType


class Parameter(Node):
    """A class's or template's parameter, or a `setting` of a class."""

    name: Ident
    type: ParameterType
    default: Expression | None
    source: Text | None

    @property
    def limits(self) -> tuple[Expression, ...]:
        """Both ends of its range; none where it has no range."""
        return (self.type.low, self.type.high) if isinstance(self.type, Range) else ()


class ClassDefinition(Statement):
    """`class crusher ours(head: 1 m to 2 m): cones.high_speed { ... }`; `of` is what it extends."""

    kind: Ident
    name: Ident
    parameters: tuple[Parameter, ...]
    of: Path | None
    body: tuple[Statement, ...]


class TemplateDefinition(Statement):
    name: Ident
    parameters: tuple[Parameter, ...]
    body: tuple[Statement, ...]


class SettingDefinition(Statement):
    parameter: Parameter


class Year(Node):
    """The line that states the hours of the year, for what is written in a stretch of a file; None
    where none does."""

    hours: Fact | None


class PlantDefinition(Statement):
    """`plant "..." { ... }`. years: of a plant that is put in a case, what a year is in the blocks
    of its cases, and in what is asked of this one alone; the last holds for all else."""

    title: Text
    body: tuple[Statement, ...]
    years: tuple[Year, ...]


class Definition(Statement):
    """`material ours: rocks.dolerite { ... }`, `grading pit_run { ... }`, `band c33_57 { ... }`."""

    keyword: Ident
    name: Ident
    of: Path | None
    body: tuple[Statement, ...]


class Series(Statement):
    name: Ident
    entries: tuple[Entry, ...]


class Argument(Node):
    name: Ident
    value: Expression


class Declaration(Statement):
    """`crusher secondary: cones.high_pivot(head: 1300 mm) { css 32 mm }` and similar."""

    kind: Ident
    name: Ident
    of: Path | None
    arguments: tuple[Argument, ...]
    body: tuple[Statement, ...]


class ModelDefinition(Statement):
    role: Ident
    name: Ident
    body: tuple[Statement, ...]


class Operation(Statement):
    """`operation { availability 92 %; repair 2 h }`: how a machine, feed or plant is run."""

    body: tuple[Statement, ...]


class Project(Statement):
    """`project { client "..."; status "for comment" }`: what documents say of the project."""

    body: tuple[Statement, ...]


class Note(Statement):
    """`note "belt scale before the bin"`."""

    text: Text


class Deck(Statement):
    name: Ident
    aperture: Expression
    shape: Ident | None
    body: tuple[Statement, ...]


class Port(Statement):
    """`in rock` and `out fines` of a template; `out fines 30 %` of a splitter."""

    direction: str
    name: Ident
    share: Expression | None


class Endpoint(Node):
    path: Path
    new_product: bool


class Route(Statement):
    endpoints: tuple[Endpoint, ...]


class Fact(Statement):
    """`css 32 mm`, `revision "C"`, `grading { ... }`; `source "..."` alone is a fact as well."""

    name: Ident
    value: Expression | None
    entries: tuple[Entry, ...] | None
    source: Text | None


class Aim(Statement):
    """`maximize chips.rate`, `minimize plant.power weight 2`."""

    direction: Ident
    expression: Expression
    weight: Number | None


class Option(Statement):
    name: Ident
    body: tuple[Statement, ...]


class Choose(Statement):
    """`choose last { option cone { ... } option roll { ... } }`; `choose last: roll { ... }` where
    the plant has settled on an option."""

    name: Ident
    settled: Ident | None
    body: tuple[Statement, ...]

    @property
    def options(self) -> list[Option]:
        """By name; of two of one name the first. A plant that has not settled has the first."""
        found: dict[str, Option] = {}
        for one in self.body:
            if isinstance(one, Option):
                found.setdefault(one.name.text, one)
        return [found[name] for name in sorted(found)]

    @property
    def standing(self) -> Option | None:
        """The option that stands where no one chooses."""
        settled = self.settled
        named = (o for o in self.options if settled is None or o.name.text == settled.text)
        return next(named, None)


class Case(Statement):
    """`case wet_peak: wet { granite.moisture 6 % }`: another state of the plant, and the case it
    begins from."""

    name: Ident
    of: Ident | None
    body: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class File:
    """A parsed file. Names in lines that could not be read are kept in `lost_names`, so that the
    checker does not call them unknown; a damaged file is not blamed for missing routes."""

    source: Source
    statements: tuple[Statement, ...]
    lost_names: frozenset[str]

    @property
    def damaged(self) -> bool:
        return bool(self.lost_names)
