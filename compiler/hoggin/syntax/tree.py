"""The syntax tree: what the text says, each node with its span. It knows no units and no trade."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar, dataclass_transform

from hoggin.diagnostics.source import Source, Span

_Class = TypeVar("_Class")


@dataclass_transform(frozen_default=True, eq_default=False)
def _node(cls: type[_Class]) -> type[_Class]:
    """A frozen record that is equal only to itself. It is the type checker that holds it frozen:
    plain dataclasses are made several times faster, and a plant has thousands of nodes."""
    return dataclass(slots=True, eq=False, repr=False)(cls)


@_node
class Node:
    span: Span


# --- expressions -------------------------------------------------------------------------------


@_node
class Ident(Node):
    text: str


@_node
class Measure(Node):
    """A number with a unit: `32 mm`."""

    number: float
    unit: str


@_node
class Number(Node):
    number: float


@_node
class Text(Node):
    text: str


@_node
class Path(Node):
    """A dotted name: `sizing.top.over`."""

    parts: tuple[Ident, ...]

    @property
    def dotted(self) -> str:
        return ".".join(part.text for part in self.parts)


@_node
class Call(Node):
    function: Path
    arguments: tuple[Expression, ...]


@_node
class Negated(Node):
    operand: Expression


@_node
class Arithmetic(Node):
    operator: str
    left: Expression
    right: Expression


@_node
class Entry(Node):
    """`size: value`, `size: low to high`, `choice: value`, or a bare `size` in a list."""

    key: Expression
    value: Expression | None
    upper: Expression | None


@_node
class By(Node):
    """`by chamber { coarse: 1.2, fine: 0.9 }`."""

    choice: Path
    entries: tuple[Entry, ...]


Expression = Measure | Number | Text | Path | Call | Negated | Arithmetic | By


# --- conditions --------------------------------------------------------------------------------


@_node
class Comparison(Node):
    operator: str
    left: Expression
    right: Expression


@_node
class Between(Node):
    value: Expression
    low: Expression
    high: Expression


@_node
class MeetsBand(Node):
    product: Path
    band: Path


@_node
class All(Node):
    conditions: tuple[Condition, ...]


@_node
class AnyOf(Node):
    conditions: tuple[Condition, ...]


Condition = Comparison | Between | MeetsBand | All | AnyOf


# --- statements --------------------------------------------------------------------------------


@_node
class Statement(Node):
    """What may stand on a line of its own."""


@_node
class Use(Statement):
    """`use std.cones`, `use std.cones as c` or `use "lib/ours.hog" as ours`."""

    target: Path | Text
    alias: Ident | None

    @property
    def name(self) -> Ident:
        """What the file calls the library; empty where it has to be said, and is not."""
        if self.alias is None and isinstance(self.target, Path):
            return self.target.parts[-1]
        return self.alias or Ident(self.span, "")


@_node
class Let(Statement):
    name: Ident
    value: Expression


@_node
class Requirement(Statement):
    condition: Condition


@_node
class Rule(Statement):
    condition: Condition
    reason: Text


@_node
class UnitType(Node):
    """A parameter's type by unit: `mm`, `t/h`, `%`, or the word `number` or `text`."""

    unit: str


@_node
class ChoiceType(Node):
    choices: tuple[Ident, ...]


@_node
class Parameter(Node):
    """A class's or template's parameter, or a `setting` of a class."""

    name: Ident
    type: UnitType | ChoiceType
    low: Expression | None
    high: Expression | None
    default: Expression | None
    source: Text | None = None


@_node
class ClassDefinition(Statement):
    kind: Ident
    name: Ident
    parameters: tuple[Parameter, ...]
    body: tuple[Statement, ...]


@_node
class TemplateDefinition(Statement):
    name: Ident
    parameters: tuple[Parameter, ...]
    body: tuple[Statement, ...]


@_node
class SettingDefinition(Statement):
    parameter: Parameter


@_node
class PlantDefinition(Statement):
    title: Text
    body: tuple[Statement, ...]


@_node
class Definition(Statement):
    """`material dolerite { ... }` or `band c33_57 { ... }`; no body where one is named only, then
    perhaps by a library's name and its own: `material ours.dolerite`."""

    keyword: Ident
    path: Path
    body: tuple[Statement, ...] | None

    @property
    def name(self) -> Ident:
        return self.path.parts[-1]


@_node
class Series(Statement):
    name: Ident
    entries: tuple[Entry, ...]


@_node
class Argument(Node):
    name: Ident
    value: Expression


@_node
class Declaration(Statement):
    """`crusher secondary: cones.high_pivot(head: 1300 mm) { css 32 mm }` and its like."""

    kind: Ident
    name: Ident
    of: Path | None
    arguments: tuple[Argument, ...]
    body: tuple[Statement, ...]


@_node
class ModelDefinition(Statement):
    role: Ident
    name: Ident
    body: tuple[Statement, ...]


@_node
class Deck(Statement):
    name: Ident
    aperture: Expression
    shape: Ident | None
    body: tuple[Statement, ...]


@_node
class Port(Statement):
    """`in rock` and `out fines` of a template; `out fines 30 %` of a splitter."""

    direction: str
    name: Ident
    share: Expression | None


@_node
class Endpoint(Node):
    path: Path
    new_product: bool


@_node
class Route(Statement):
    endpoints: tuple[Endpoint, ...]


@_node
class Fact(Statement):
    """`css 32 mm`, `revision "C"`, `grading { ... }`; `source "..."` alone is a fact as well."""

    name: Ident
    value: Expression | None
    entries: tuple[Entry, ...] | None
    source: Text | None


@_node
class Aim(Statement):
    """`aim most chips.rate`, `aim least plant.power weight 2`; `word` stands before the weight."""

    direction: Ident
    expression: Expression
    word: Ident | None
    weight: float | None


@_node
class Option(Statement):
    name: Ident
    body: tuple[Statement, ...]


@_node
class Choose(Statement):
    """`choose tertiary_type { option cone { ... } option roll { ... } }`."""

    name: Ident
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
