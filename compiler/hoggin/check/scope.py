"""Names and what they stand for. Scopes are lexical: a block sees its own names and its file's."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from hoggin.check.values import Value
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.families.names import E0201, E0202
from hoggin.diagnostics.fault import Fault
from hoggin.diagnostics.source import Span
from hoggin.schema.tracing import Alternatives, Place, Traces
from hoggin.syntax import tree
from hoggin.syntax.walk import paths
from hoggin.world import library_names

Wanted = TypeVar("Wanted")
Node = TypeVar(
    "Node", tree.Let, tree.ClassDefinition, tree.TemplateDefinition, tree.Definition, tree.Series
)


class Entity:
    """What a name can stand for. word: what messages call it."""

    word = "`let`"

    @property
    def name(self) -> tree.Ident:
        """The name that declares it."""
        raise NotImplementedError

    @property
    def span(self) -> Span:
        return self.name.span


@dataclass(frozen=True, eq=False)
class Defined(Entity, Generic[Node]):
    """What a statement defines, and the scope that it is in."""

    node: Node
    scope: Scope

    @property
    def name(self) -> tree.Ident:
        return self.node.name


class LetEntity(Defined[tree.Let]):
    pass


@dataclass(frozen=True, eq=False)
class ClassEntity(Defined[tree.ClassDefinition]):
    """A class with all that it inherits. homes: the file's scope of each inherited line."""

    homes: Mapping[tree.Node, Scope] = field(default_factory=dict)
    word = "machine class"

    def inside(self) -> Scope:
        """A scope for the names of the class."""
        return Scope(self.scope, homes=self.homes)


class TemplateEntity(Defined[tree.TemplateDefinition]):
    word = "template"


@dataclass(frozen=True, eq=False)
class MaterialEntity(Defined[tree.Definition]):
    """A material with all that it inherits. homes: the file's scope of each inherited line."""

    homes: Mapping[tree.Node, Scope] = field(default_factory=dict)
    word = "material"


class BandEntity(Defined[tree.Definition]):
    word = "band"


class GradingEntity(Defined[tree.Definition]):
    word = "grading"


class SeriesEntity(Defined[tree.Series]):
    word = "sieve series"


@dataclass(frozen=True, eq=False)
class ModuleEntity(Entity):
    node: tree.Use
    members: Scope
    word = "`use`"

    @property
    def name(self) -> tree.Ident:
        return self.node.name

    @property
    def span(self) -> Span:
        return self.node.span


@dataclass(frozen=True, eq=False)
class ValueEntity(Entity):
    """A parameter or setting with its value, and its words where it is a choice."""

    ident: tree.Ident
    value: Value
    choices: tuple[str, ...] = ()

    @property
    def name(self) -> tree.Ident:
        return self.ident


@dataclass(frozen=True, eq=False)
class ClassParameterEntity(Entity):
    """A template's parameter that stands for a class of machines; which one is unknown where the
    template is checked on its own."""

    ident: tree.Ident
    kind: str
    stands_for: ClassEntity | None
    word = "machine class"

    @property
    def name(self) -> tree.Ident:
        return self.ident


@dataclass(eq=False)
class Scope:
    parent: Scope | None = None
    names: dict[str, Entity] = field(default_factory=dict)
    homes: Mapping[tree.Node, Scope] = field(default_factory=dict)  # of lines of other files

    def at(self, node: tree.Node) -> Scope:
        """The same names as they are seen by a line: an inherited one is at home in its file."""
        home = self.homes.get(node)
        return self if home is None else Scope(home, self.names)

    def find(self, name: str) -> Entity | None:
        scope: Scope | None = self
        while scope is not None:
            if name in scope.names:
                return scope.names[name]
            scope = scope.parent
        return None

    def modules(self) -> dict[str, ModuleEntity]:
        """The libraries that can be named here."""
        own = {n: e for n, e in self.names.items() if isinstance(e, ModuleEntity)}
        return {**(self.parent.modules() if self.parent else {}), **own}

    def visible(self) -> Iterator[str]:
        scope: Scope | None = self
        while scope is not None:
            yield from scope.names
            scope = scope.parent


@dataclass(frozen=True, eq=False, slots=True)
class Names:
    """What the names of some files stand for. uses: what each use of one is declared by, or what
    its declaration made. entities: what a declaring name made."""

    uses: dict[tree.Ident, Entity | tree.Ident] = field(default_factory=dict)
    entities: dict[tree.Ident, Entity] = field(default_factory=dict)


@dataclass(eq=False)
class Session:
    """What one run of the checker gathers: faults, values of `let` lines, and names in use."""

    diagnostics: Diagnostics
    lost_names: set[str] = field(default_factory=set)  # of lines that could not be read
    lets: dict[tuple[Scope, tree.Let], Value] = field(default_factory=dict)
    lets_open: list[tuple[Scope, tree.Let]] = field(default_factory=list)
    overflowed: bool = False  # a plant or template grew past all bounds: expand no more of them
    used: set[int] = field(default_factory=set)  # ids of entities that something names
    traces: Traces = field(default_factory=Traces)
    picks: Mapping[Place, int] = field(default_factory=dict)  # of alternatives, by place
    classes: dict[str, ClassEntity] = field(default_factory=dict)  # of machines, by their tags
    declared: dict[str, tuple[tree.Declaration, Scope]] = field(default_factory=dict)  # by tag
    editions: dict[str, int] = field(default_factory=dict)  # of the language, by source name
    routes: dict[str, tuple[Span, ...]] = field(default_factory=dict)  # by the stream's name
    names: Names = field(default_factory=Names)
    cases: dict[str, tree.Case] = field(default_factory=dict)  # that can be put on the plant
    settled: dict[Place, Alternatives] = field(default_factory=dict)  # `choose` blocks that are
    order: dict[str, int] = field(default_factory=dict)  # of feeds, machines, products, by tag
    # What the plant that is checked states, "" where it states none; None outside a plant.
    currency: str | None = None
    priced: bool = False  # whether a price was read for the plant
    # The hours that a year has where a rate by the year is written: None where the plant states
    # none, NaN after a reported fault. There are none outside a plant.
    hours_of_year: Callable[[Span], float | None] | None = None

    def report(self, fault: Fault, span: Span, other: Span | None = None) -> Wanted | None:
        """Report a fault. Always None: the value that is then missing, whatever was wanted."""
        self.diagnostics.report(fault, span, other)
        return None

    def add(self, other: Session) -> None:
        """Take in what a session gathered that read a file without a fault."""
        self.used |= other.used
        self.editions.update(other.editions)
        self.names.uses.update(other.names.uses)
        self.names.entities.update(other.names.entities)

    @contextmanager
    def outside_the_plant(self) -> Iterator[None]:
        """While a line is read that the plant states in another's place: its prices are nobody's,
        and values of `let` lines come to nothing."""
        held = self.currency, self.lets
        self.currency, self.lets = None, dict(self.lets)
        try:
            yield
        finally:
            self.currency, self.lets = held

    def use(self, entity: Entity, name: tree.Ident) -> None:
        """Note that a name stands for this."""
        self.used.add(id(entity))
        self.names.uses[name] = entity


def declare(scope: Scope, name: tree.Ident, entity: Entity, session: Session) -> None:
    """Enter a name; a second declaration of it is an error and changes nothing."""
    session.names.entities[name] = entity
    first = scope.names.get(name.text)
    if first is None:
        scope.names[name.text] = entity
        return
    session.report(E0202.declared(name.text), name.span, first.span)


def once(first: dict[str, Span], name: tree.Ident, session: Session) -> bool:
    """Whether a name is set for the first time in its block; a second time is reported (E0202)."""
    if name.text not in first:
        first[name.text] = name.span
        return True
    session.report(E0202.set_twice(name.text), name.span, first[name.text])
    return False


def resolve(path: tree.Path, scope: Scope, session: Session) -> Entity | None:
    """Find what a dotted name stands for: a name in scope, or a member of a used library.

    None after reporting E0201 (or silently, where a line that could not be read may have
    declared the name).
    """
    head, *rest = path.parts
    entity = scope.find(head.text)
    known: Scope | None = scope
    part = head
    for part in (head, *rest):
        if part is not head:
            if not isinstance(entity, ModuleEntity):
                known = None
                entity = None
                break
            known = entity.members
            entity = known.names.get(part.text)
        if entity is None:
            break
        session.use(entity, part)
    if entity is not None:
        return entity
    if part.text in session.lost_names:
        return None
    if known is None:
        return session.report(E0201.not_a_library(path.dotted), part.span)
    if part is head:
        fault = _elsewhere(head, scope)
    else:
        fault = E0201.not_in_library(part.text, head.text, known.names)
    return session.report(fault, part.span)


def mention(node: tree.Node, scope: Scope, session: Session) -> None:
    """Note what the names in a node stand for, where a fault keeps it from being evaluated."""
    for path in paths(node):
        known: Scope | None = scope
        for part in path.parts:
            entity = known.find(part.text) if known is not None else None
            if entity is None:
                break
            session.use(entity, part)
            known = entity.members if isinstance(entity, ModuleEntity) else None


def _elsewhere(name: tree.Ident, scope: Scope) -> Fault:
    """A name that is not in scope, with where it may be meant to come from."""
    for module, entity in sorted(scope.modules().items()):
        if name.text in entity.members.names:
            return E0201.member_elsewhere(name.text, module)
    for library in library_names():
        if library.rpartition(".")[2] == name.text:
            return E0201.library_not_used(name.text, library)
    return E0201.unknown(name.text, scope.visible())
