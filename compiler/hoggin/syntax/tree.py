"""The syntax tree: what the text says, each node with its span. It knows no units and no trade."""

from __future__ import annotations

from dataclasses import dataclass

from hoggin.diagnostics.source import Source, Span


@dataclass(frozen=True, slots=True)
class Node:
    span: Span


# --- expressions -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Ident(Node):
    text: str


@dataclass(frozen=True, slots=True)
class Measure(Node):
    """A number with a unit: `32 mm`."""

    number: float
    unit: str


@dataclass(frozen=True, slots=True)
class Number(Node):
    number: float


@dataclass(frozen=True, slots=True)
class Text(Node):
    text: str


@dataclass(frozen=True, slots=True)
class Path(Node):
    """A dotted name: `sizing.top.over`."""

    parts: tuple[Ident, ...]

    @property
    def dotted(self) -> str:
        return ".".join(part.text for part in self.parts)


@dataclass(frozen=True, slots=True)
class Call(Node):
    function: Path
    arguments: tuple[Expression, ...]


@dataclass(frozen=True, slots=True)
class Negated(Node):
    operand: Expression


@dataclass(frozen=True, slots=True)
class Arithmetic(Node):
    operator: str
    left: Expression
    right: Expression


@dataclass(frozen=True, slots=True)
class Entry(Node):
    """`size: value`, `size: low to high`, `choice: value`, or a bare `size` in a list."""

    key: Expression
    value: Expression | None
    upper: Expression | None


@dataclass(frozen=True, slots=True)
class By(Node):
    """`by chamber { coarse: 1.2, fine: 0.9 }`."""

    choice: Path
    entries: tuple[Entry, ...]


Expression = Measure | Number | Text | Path | Call | Negated | Arithmetic | By


# --- conditions --------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Comparison(Node):
    operator: str
    left: Expression
    right: Expression


@dataclass(frozen=True, slots=True)
class Between(Node):
    value: Expression
    low: Expression
    high: Expression


@dataclass(frozen=True, slots=True)
class MeetsBand(Node):
    product: Path
    band: Path


@dataclass(frozen=True, slots=True)
class All(Node):
    conditions: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class AnyOf(Node):
    conditions: tuple[Condition, ...]


Condition = Comparison | Between | MeetsBand | All | AnyOf


# --- statements --------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Use(Node):
    """`use std.cones`, `use std.cones as c` or `use "lib/ours.hog" as ours`."""

    target: Path | Text
    alias: Ident | None


@dataclass(frozen=True, slots=True)
class Let(Node):
    name: Ident
    value: Expression


@dataclass(frozen=True, slots=True)
class Requirement(Node):
    condition: Condition


@dataclass(frozen=True, slots=True)
class Rule(Node):
    condition: Condition
    reason: Text


@dataclass(frozen=True, slots=True)
class UnitType(Node):
    """A parameter's type by unit: `mm`, `t/h`, `%`, or the word `number` or `text`."""

    unit: str


@dataclass(frozen=True, slots=True)
class ChoiceType(Node):
    choices: tuple[Ident, ...]


@dataclass(frozen=True, slots=True)
class Parameter(Node):
    """A class's or template's parameter, or a `setting` of a class."""

    name: Ident
    type: UnitType | ChoiceType
    low: Expression | None
    high: Expression | None
    default: Expression | None
    source: Text | None = None


@dataclass(frozen=True, slots=True)
class ClassDefinition(Node):
    kind: Ident
    name: Ident
    parameters: tuple[Parameter, ...]
    body: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class TemplateDefinition(Node):
    name: Ident
    parameters: tuple[Parameter, ...]
    body: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class SettingDefinition(Node):
    parameter: Parameter


@dataclass(frozen=True, slots=True)
class PlantDefinition(Node):
    title: Text
    body: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class Definition(Node):
    """`material dolerite { ... }` or `band c33_57 { ... }`; no body where one is named only."""

    keyword: Ident
    name: Ident
    body: tuple[Statement, ...] | None


@dataclass(frozen=True, slots=True)
class Series(Node):
    name: Ident
    entries: tuple[Entry, ...]


@dataclass(frozen=True, slots=True)
class Argument(Node):
    name: Ident
    value: Expression


@dataclass(frozen=True, slots=True)
class Declaration(Node):
    """`crusher secondary: cones.high_pivot(head: 1300 mm) { css 32 mm }` and its like."""

    kind: Ident
    name: Ident
    of: Path | None
    arguments: tuple[Argument, ...]
    body: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class ModelDefinition(Node):
    role: Ident
    name: Ident
    body: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class Deck(Node):
    name: Ident
    aperture: Expression
    shape: Ident | None
    body: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class Port(Node):
    """`in rock` and `out fines` of a template; `out fines 30 %` of a splitter."""

    direction: str
    name: Ident
    share: Expression | None


@dataclass(frozen=True, slots=True)
class Endpoint(Node):
    path: Path
    new_product: bool


@dataclass(frozen=True, slots=True)
class Route(Node):
    endpoints: tuple[Endpoint, ...]


@dataclass(frozen=True, slots=True)
class Fact(Node):
    """`css 32 mm`, `revision "C"`, `grading { ... }`; `source "..."` alone is a fact as well."""

    name: Ident
    value: Expression | None
    entries: tuple[Entry, ...] | None
    source: Text | None


Statement = (
    Use
    | Let
    | Requirement
    | Rule
    | ClassDefinition
    | TemplateDefinition
    | SettingDefinition
    | PlantDefinition
    | Definition
    | Series
    | Declaration
    | ModelDefinition
    | Deck
    | Port
    | Route
    | Fact
)


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
