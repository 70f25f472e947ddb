"""What every name in a set of files refers to: where it is declared, and where it is used.

Declarations come from the tree; the checker recorded what each use of a name refers to. Text that
could not be read has no names.
"""

from __future__ import annotations

import posixpath
from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache

from hoggin.check import scope as checked
from hoggin.diagnostics.source import Span
from hoggin.syntax import tree
from hoggin.syntax.cases import cases_of
from hoggin.world import is_library

Table = dict[str, "Symbol"]
_KINDS: Mapping[type[tree.Statement], str] = {
    tree.Let: "let",
    tree.ClassDefinition: "class",
    tree.TemplateDefinition: "template",
    tree.Series: "series",
}


@dataclass(frozen=True, eq=False, slots=True)
class Symbol:
    """A named thing. `kind` is a word for it. If it has several declarations (one in each option of
    a `choose`, or a product's block and its route), "go to definition" leads to the first."""

    name: str
    kind: str
    spans: tuple[Span, ...]
    nodes: tuple[tree.Node, ...]
    owner: str = ""  # what it belongs to: a class, a template, a machine

    @property
    def span(self) -> Span:
        return self.spans[0]

    @property
    def node(self) -> tree.Node:
        return self.nodes[0]

    @property
    def file(self) -> str:
        return self.span.source.name

    @property
    def key(self) -> tuple[str, int]:
        """The identity of a symbol, which stays the same when files are read again."""
        return self.file, self.span.start


@dataclass(frozen=True, slots=True)
class Occurrence:
    span: Span
    symbol: Symbol
    declares: bool


@dataclass(frozen=True, slots=True)
class Scope:
    """What may be named at a place: values from the inside out, and the body's own things."""

    values: tuple[Table, ...] = ()
    things: Table = field(default_factory=dict)
    statement: tree.Statement | None = None  # the plant, template or class that is around

    def value(self, name: str) -> Symbol | None:
        return next((table[name] for table in self.values if name in table), None)

    def visible(self) -> Table:
        found: Table = {}
        for table in reversed(self.values):
            found |= table
        return found


class Names:
    """The names of some files, by the name each file is shown by; `heard` is what the checker
    recorded for a file. Tables and occurrences are made on first use, so this is for one state of
    the files."""

    def __init__(
        self,
        files: Mapping[str, tree.File],
        heard: Callable[[str], checked.Names] = lambda _: checked.Names(),
    ) -> None:
        self.files = files
        self._heard = cache(heard)
        self.top: Callable[[str], Table] = cache(self._top)
        self.members: Callable[[Symbol], Table] = cache(self._members)
        self.declared: Callable[[str], Mapping[int, Symbol]] = cache(self._declared)
        self.occurrences: Callable[[str], list[Occurrence]] = cache(self._occurrences)

    def _top(self, file: str) -> Table:
        """What a file declares outside every block."""
        table: Table = {}
        for symbol in filter(None, map(_of_file, self._statements(file))):
            table.setdefault(symbol.name, symbol)
        return table

    def _statements(self, file: str) -> tuple[tree.Statement, ...]:
        return self.files[file].statements if file in self.files else ()

    def used_file(self, use: tree.Use) -> str:
        """The name of the file that a `use` names, read or not."""
        if isinstance(use.target, tree.Path):
            return use.target.dotted
        folder = posixpath.dirname(use.span.source.name)
        return posixpath.normpath(posixpath.join(folder, use.target.text))

    def _members(self, symbol: Symbol) -> Table:
        """What may follow a symbol's dot, or be set in it: the content of a library, parameters and
        settings of a class or template, things of a section, outlets, decks."""
        found: Table = {}
        for node in symbol.nodes:
            match node:
                case tree.Use():
                    found |= self.top(self.used_file(node))
                case tree.ClassDefinition():
                    found |= self.inherited(node) | class_members(node)
                case tree.TemplateDefinition():
                    found |= _parameters(node.parameters, "parameter", node.name.text)
                case tree.Declaration(kind=tree.Ident(text="section")):
                    template = self.type_of(node)
                    if template is not None and isinstance(template.node, tree.TemplateDefinition):
                        found |= things_of(template.node.body)
                case tree.Declaration(name=name, body=body):
                    found |= parts_of(body, name.text)
        return found

    def inherited(self, node: tree.ClassDefinition, below: tuple[tree.Node, ...] = ()) -> Table:
        """Parameters, settings and values of the classes that a class extends."""
        base = self._base(node)
        if base is None or base in below:
            return {}
        found = self.inherited(base, (*below, node)) | class_members(base)
        own = lets_of(node.body, node.name.text)
        return {name: one for name, one in found.items() if name not in own}

    def _base(self, node: tree.ClassDefinition) -> tree.ClassDefinition | None:
        file = node.span.source.name
        for part in node.of.parts if node.of is not None else ():
            symbol = self.top(file).get(part.text)
            match symbol:
                case Symbol(node=tree.Use() as use):
                    file = self.used_file(use)
                case Symbol(node=tree.ClassDefinition() as base):
                    return base
        return None

    def type_of(self, node: tree.Declaration) -> Symbol | None:
        """The class or template that a declaration names."""
        if node.of is None:
            return None
        last = node.of.parts[-1].span
        found = self.at(last.source.name, last.start)
        return found.symbol if found is not None and found.span.start == last.start else None

    def _declared(self, file: str) -> Mapping[int, Symbol]:
        """Every symbol of a file, by the place of each name that declares it."""
        top = self.top(file)
        tables = [top, *(t for s in self._statements(file) for t in _tables(s, top))]
        return {
            span.start: symbol
            for table in tables
            for symbol in table.values()
            for span in symbol.spans
        }

    def entity(self, symbol: Symbol) -> checked.Entity | None:
        """What the checker made of a declaration."""
        entities = self._heard(symbol.file).entities.items()
        places = {(name.span.source.name, name.span.start): entity for name, entity in entities}
        return places.get(symbol.key)

    def _occurrences(self, file: str) -> list[Occurrence]:
        """Every name of a file that refers to something, in order."""
        found = {
            span.start: Occurrence(span, symbol, declares=True)
            for place, symbol in self.declared(file).items()
            for span in symbol.spans
            if span.start == place
        }
        for name, means in self._heard(file).uses.items() if file in self.files else ():
            span = name.span
            if span.source.name == file and span.start not in found:
                symbol_of = self._symbol(means)
                if symbol_of is not None:
                    found[span.start] = Occurrence(span, symbol_of, declares=False)
        return [found[place] for place in sorted(found)]

    def _symbol(self, means: checked.Entity | tree.Ident) -> Symbol | None:
        name = means if isinstance(means, tree.Ident) else means.name
        return self.declared(name.span.source.name).get(name.span.start)

    def at(self, file: str, offset: int) -> Occurrence | None:
        """The name at an offset, or just before it."""
        found = self.occurrences(file)
        place = bisect_right(found, offset, key=lambda one: one.span.start)
        near = found[max(0, place - 2) : place]
        return next((one for one in reversed(near) if offset <= one.span.end), None)

    def uses(self, symbol: Symbol) -> list[Occurrence]:
        """Every occurrence of a symbol in all files, including declarations. The compiler's
        libraries can't use what a user's file declares."""
        is_own = not is_library(symbol.file)
        told = [
            name
            for name, file in sorted(self.files.items())
            if symbol.name in file.source.text
            and (name == symbol.file or not (is_own and is_library(name)))
        ]
        return [
            one for file in told for one in self.occurrences(file) if one.symbol.key == symbol.key
        ]

    def scope_at(self, file: str, offset: int) -> Scope:
        """What may be named at an offset."""
        top = self.top(file)
        for statement in self._statements(file):
            if statement.span.start <= offset <= statement.span.end:
                found = scope_of(statement, top)
                if isinstance(statement, tree.ClassDefinition):
                    own, *outer = found.values
                    found = replace(found, values=(own, self.inherited(statement), *outer))
                return found
        return Scope((top,))


def _tables(statement: tree.Statement, top: Table) -> Iterator[Table]:
    """What is declared in a statement's block."""
    scope = scope_of(statement, top)
    if isinstance(statement, tree.PlantDefinition):
        yield cases_in(statement)
    yield from scope.values[:-1]
    yield scope.things
    for symbol in scope.things.values():
        for node in symbol.nodes:
            if isinstance(node, tree.Declaration):
                yield parts_of(node.body, symbol.name)


def scope_of(statement: tree.Statement, top: Table) -> Scope:
    match statement:
        case tree.PlantDefinition(body=body):
            return Scope((lets_of(body, "plant"), top), things_of(body), statement)
        case tree.TemplateDefinition(name=name, parameters=parameters, body=body):
            own = _parameters(parameters, "parameter", name.text) | lets_of(body, name.text)
            return Scope((own, top), things_of(body), statement)
        case tree.ClassDefinition(name=name, body=body):
            own = class_members(statement) | lets_of(body, name.text)
            return Scope((own, top), {}, statement)
    return Scope((top,), {}, statement)


def _of_file(statement: tree.Statement) -> Symbol | None:
    match statement:
        case tree.Use(alias=alias, target=target):
            name = alias or (target.parts[-1] if isinstance(target, tree.Path) else None)
            return None if name is None else _symbol(name, "library", statement)
        case tree.Let() | tree.ClassDefinition() | tree.TemplateDefinition() | tree.Series():
            return _symbol(statement.name, _KINDS[type(statement)], statement)
        case tree.Definition(keyword=keyword, body=body) if body is not None:
            return _symbol(statement.name, keyword.text, statement)
    return None


def _symbol(name: tree.Ident, kind: str, node: tree.Node, owner: str = "") -> Symbol:
    return Symbol(name.text, kind, (name.span,), (node,), owner)


def _parameters(parameters: Iterable[tree.Parameter], kind: str, owner: str) -> Table:
    return {one.name.text: _symbol(one.name, kind, one, owner) for one in parameters}


def class_members(node: tree.ClassDefinition) -> Table:
    """Parameters and settings that a class itself states."""
    settings = [s.parameter for s in node.body if isinstance(s, tree.SettingDefinition)]
    owner = node.name.text
    found = _parameters(node.parameters, "parameter", owner)
    return found | _parameters(settings, "setting", owner)


def lets_of(body: Iterable[tree.Statement], owner: str) -> Table:
    lets = (s for s in flat(body) if isinstance(s, tree.Let))
    return {s.name.text: _symbol(s.name, "let", s, owner) for s in lets}


def cases_in(node: tree.PlantDefinition) -> Table:
    cases = cases_of(node).values()
    return {one.name.text: _symbol(one.name, "case", one, "plant") for one in cases}


def flat(body: Iterable[tree.Statement]) -> Iterator[tree.Statement]:
    """A body's statements, those of every option of its choices among them."""
    for statement in body:
        if isinstance(statement, tree.Choose | tree.Option):
            yield from flat(statement.body)
        else:
            yield statement


def things_of(body: tuple[tree.Statement, ...]) -> Table:
    """Machines, feeds, products, ports and sections of a plant's or template's body."""
    found: dict[str, list[tuple[tree.Ident, str, tree.Node]]] = {}
    statements = list(flat(body))
    for statement in statements:
        match statement:
            case tree.Declaration(kind=kind, name=name):
                found.setdefault(name.text, []).append((name, kind.text, statement))
            case tree.Port(name=name, direction=direction):
                found.setdefault(name.text, []).append((name, f"{direction} port", statement))
    for statement in statements:
        for endpoint in statement.endpoints if isinstance(statement, tree.Route) else ():
            if endpoint.new_product:
                name = endpoint.path.parts[0]
                found.setdefault(name.text, []).append((name, "product", endpoint))
    return {
        text: Symbol(text, parts[0][1], tuple(p[0].span for p in parts), tuple(p[2] for p in parts))
        for text, parts in found.items()
    }


def parts_of(body: Iterable[tree.Statement], owner: str) -> Table:
    """A screen's decks or a splitter's outlets."""
    return {
        one.name.text: _symbol(
            one.name, "deck" if isinstance(one, tree.Deck) else "outlet", one, owner
        )
        for one in body
        if isinstance(one, tree.Deck | tree.Port)
    }
