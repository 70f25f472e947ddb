"""A file as lines: everything an author states on its own, by what it is about.

A block is a line, its head, with the lines in it below. Two files compare line by line, whatever
the order they are written in; and a tree is put together again from any choice of lines.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any, TypeGuard

from hoggin.diagnostics.source import Span
from hoggin.revise.why.meaning import meaning, meaning_of_entries, meaning_of_parameter
from hoggin.schema.facts import listed_of
from hoggin.syntax import tree

Path = tuple[str, ...]

# What no result depends on: it is reported, but never mixed.
_IDLE_FACTS = {"about", "source", "caution", "revision", "history", *listed_of("product")}

Block = (
    tree.Declaration
    | tree.Deck
    | tree.Definition
    | tree.ModelDefinition
    | tree.ClassDefinition
    | tree.TemplateDefinition
    | tree.PlantDefinition
    | tree.Choose
    | tree.Option
    | tree.Case
    | tree.Operation
    | tree.Project
)


@dataclass(frozen=True, slots=True)
class Line:
    """path: what it is about, from the file's name inwards. words: what it means, for comparing.
    label: what it is about, in a reader's words. said: its value as written."""

    path: Path
    words: str
    node: tree.Node
    span: Span
    label: str
    said: str
    idle: bool = False


@dataclass(frozen=True, slots=True)
class _Place:
    """Where lines are: the path, and the words for it."""

    path: Path
    label: str = ""

    def line(
        self, node: tree.Node, key: str, words: str = "", label: str = "", said: str = ""
    ) -> Line:
        """A line here; its label is its key where none is given."""
        shown = f"{label or key} of {self.label}" if self.label else label or key
        return Line((*self.path, key), words, node, node.span, shown, " ".join(said.split()))

    def inner(self, key: str, label: str) -> _Place:
        within = f" in {self.label}" if self.label else ""
        return _Place((*self.path, key), f"{label}{within}")


def lines_of(file: tree.File, name: str) -> dict[Path, Line]:
    """The lines of a file by path, as they are in it; `name` is what it is called in paths."""
    found: dict[Path, Line] = {}
    for line in _statements(file.statements, _Place((name,))):
        path, count = line.path, 1
        while path in found:  # what may be said more than once, as `caution`
            count += 1
            path = (*line.path[:-1], f"{line.path[-1]} {count}")
        found[path] = line if path == line.path else replace(line, path=path)
    return {path: _with_value(line, found) for path, line in found.items()}


def _with_value(line: Line, lines: Mapping[Path, Line]) -> Line:
    """A line that says a `let` of its file says its value as well: `gap (15 mm)`."""
    node = line.node
    if not isinstance(node, tree.Fact | tree.Argument | tree.Deck):
        return line
    value = node.aperture if isinstance(node, tree.Deck) else node.value
    if not isinstance(value, tree.Path):
        return line
    for depth in range(len(line.path) - 1, 0, -1):
        let = lines.get((*line.path[:depth], f"let {value.dotted}"))
        if let is not None:
            return replace(line, said=f"{line.said} ({let.said})")
    return line


def _statements(
    statements: Sequence[tree.Statement], at: _Place, known: frozenset[str] = frozenset()
) -> Iterator[Line]:
    """Lines of a block's statements; `known` are products that blocks around it declare."""
    known |= {s.name.text for s in statements if isinstance(s, tree.Declaration)}
    products = _products(statements, at, known)
    for statement in statements:
        if isinstance(statement, tree.Route):
            yield from _route(statement, at)
        elif isinstance(
            statement, tree.Case | tree.Project
        ):  # no result of the plant as written depends on it
            block = _block(statement, statements, at, known)
            yield from (replace(line, idle=True) for line in block)
        elif isinstance(statement, Block):
            yield from _block(statement, statements, at, known.union(products))
        elif isinstance(statement, tree.Fact):
            yield _fact(statement, at)
        elif isinstance(statement, tree.Use):
            yield _use(statement, at)
        else:
            yield _plain(statement, at)
    yield from products.values()


def _block(
    node: Block, siblings: Sequence[tree.Statement], at: _Place, known: frozenset[str]
) -> Iterator[Line]:
    """A head with what stands in its block."""
    key, words, label, said = _pick(node) if _is_pick(node, at) else _head(node, siblings)
    yield at.line(node, key, words, label, said)
    inner = at.inner(key, label)
    match node:
        case tree.PlantDefinition(title=title):
            line = at.line(title, "title", title.text, "title of the plant", title.text)
            yield replace(line, idle=True)
            inner = _Place((*at.path, key))
        case tree.Operation() | tree.Project():  # "pace of feeder one": its block needs no words
            inner = _Place((*at.path, key), at.label)
        case tree.Declaration(arguments=arguments):
            for one in arguments:
                called, value = one.name.text, one.value
                words, said = meaning(value), value.span.text
                yield inner.line(one, f"argument {called}", words, called, said)
        case tree.ClassDefinition() | tree.TemplateDefinition():
            for parameter in node.parameters:
                key, words = f"parameter {parameter.name.text}", meaning_of_parameter(parameter)
                yield inner.line(parameter, key, words, said=_typed(parameter))
    inside = isinstance(node, tree.Choose | tree.Option)
    yield from _statements(node.body or (), inner, known if inside else frozenset())


def _is_pick(node: Block, at: _Place) -> TypeGuard[tree.ModelDefinition]:
    """Whether a line says which of its class's models a machine takes."""
    return isinstance(node, tree.ModelDefinition) and at.path[-1].startswith("declared ")


def _pick(node: tree.ModelDefinition) -> tuple[str, str, str, str]:
    key = f"model {node.role.text}"
    return key, node.name.text, key, node.name.text


def _head(node: Block, siblings: Sequence[tree.Statement]) -> tuple[str, str, str, str]:
    """The key of a block's head, its words, its label and its value as written."""
    match node:
        case tree.Declaration(kind=kind, name=name, of=of):
            label, said = f"{kind.text} {name.text}", of.dotted if of else ""
            return f"declared {name.text}", f"{kind.text}: {meaning(of)}", label, said
        case tree.Deck(name=name, aperture=aperture, shape=shape):
            key, said = f"deck {name.text}", f"{aperture.span.text} {shape.text if shape else ''}"
            return key, f"{meaning(aperture)} {shape.text if shape else 'square'}", key, said
        case tree.ModelDefinition(role=role, name=name):
            # A class may hold several models for a role, of which the first is the default.
            models = (s for s in siblings if isinstance(s, tree.ModelDefinition))
            first = next(model for model in models if model.role.text == role.text)
            key, said = f"model {role.text} {name.text}", "first" if first is node else "other"
            return key, said, key, said
        case tree.ClassDefinition(kind=kind, name=name, of=of):
            key, said = f"class {name.text}", kind.text + (f": {of.dotted}" if of else "")
            return key, f"{kind.text}: {meaning(of)}", key, said
        case tree.Choose(name=name, settled=of) | tree.Case(name=name, of=of):
            key, said = f"{type(node).__name__.lower()} {name.text}", of.text if of else ""
            return key, said, f"`{key}`", said
        case tree.Option(name=name):
            return f"option {name.text}", "", f"`option {name.text}`", ""
        case tree.Definition(keyword=keyword, name=name, of=of):
            key = f"{keyword.text} {name.text}"
            return key, meaning(of), key, of.dotted if of else ""
        case tree.TemplateDefinition(name=name):
            key = f"template {name.text}"
        case tree.PlantDefinition() | tree.Operation() | tree.Project():
            is_plant = isinstance(node, tree.PlantDefinition)
            key = "plant" if is_plant else type(node).__name__.lower()
    return key, "", key, ""


def _typed(parameter: tree.Parameter) -> str:
    """What is said of a parameter after its name."""
    return parameter.span.text.partition(":")[2].strip()


def _plain(statement: tree.Statement, at: _Place) -> Line:
    """Any other statement that no others are in."""
    words = label = said = ""
    match statement:
        case tree.Let(name=name, value=value):
            key, words, said = f"let {name.text}", meaning(value), value.span.text
            label = f"`{key}`"
        case tree.Port(direction=direction, name=name, share=share):
            key, words = f"{direction} {name.text}", meaning(share)
            said = share.span.text if share else ""
        case tree.Series(name=name, entries=entries):
            key, words = f"series {name.text}", meaning_of_entries(entries)
            said = _listed(entries)
        case tree.SettingDefinition(parameter=parameter):
            key, words = f"setting {parameter.name.text}", meaning_of_parameter(parameter)
            said = _typed(parameter)
        case tree.Rule(condition=condition):
            key, label, said = f"rule {meaning(condition)}", "rule", condition.span.text
        case tree.Requirement(condition=condition):
            cases = ", ".join(sorted(one.text for one in statement.cases))
            key = f"require {meaning(condition)}{f' in {cases}' if cases else ''}"
        case tree.Note(text=text):
            key, label, said = f"note {text.text}", "note", text.span.text
        case tree.Aim(direction=direction, expression=expression, weight=weight):
            key, words = f"aim {direction.text} {meaning(expression)}", meaning(weight)
        case _:
            raise TypeError(f"no line of a file: {type(statement).__name__}")
    line = at.line(statement, key, words, label, said)
    if isinstance(statement, tree.Requirement | tree.Aim):
        return replace(line, label=f"`{' '.join(statement.span.text.split())}`", idle=True)
    return replace(line, idle=isinstance(statement, tree.Note))


def _fact(fact: tree.Fact, at: _Place) -> Line:
    name, value, entries = fact.name.text, fact.value, fact.entries
    if entries is None:
        words, said = meaning(value), value.span.text if value else ""
    else:
        words, said = meaning_of_entries(entries), _listed(entries)
    return replace(
        at.line(fact, f"fact {name}", words, name, said),
        idle=name.rpartition(".")[2] in _IDLE_FACTS,
    )


def _listed(entries: Sequence[tree.Entry]) -> str:
    return "{ " + ", ".join(entry.span.text for entry in entries) + " }"


def _use(use: tree.Use, at: _Place) -> Line:
    words = use.target.text if isinstance(use.target, tree.Text) else use.target.dotted
    alias = use.alias or (use.target.parts[-1] if isinstance(use.target, tree.Path) else None)
    key = f"use {alias.text if alias else words}"
    return at.line(use, key, words, f"`{key}`", words)


def _route(route: tree.Route, at: _Place) -> Iterator[Line]:
    """One line a step: exactly one leaves each outlet, which so names it."""
    for start, end in pairwise(route.endpoints):
        target = tree.Endpoint(end.span, end.path, False)
        step = tree.Route(start.span.to(end.span), (start, target))
        key, leads_to = f"from {start.path.dotted}", end.path.dotted
        line = at.line(step, key, leads_to, f"route {key}", leads_to)
        yield replace(line, span=start.span)


def _products(
    statements: Iterable[tree.Statement], at: _Place, known: frozenset[str]
) -> dict[str, Line]:
    """Products that a route declares and no block of their own, by name."""
    found: dict[str, Line] = {}
    routes = (s for s in statements if isinstance(s, tree.Route))
    for end in (end for route in routes for end in route.endpoints if end.new_product):
        name = end.path.parts[0]
        if name.text not in known | found.keys():
            kind = tree.Ident(end.span, "product")
            node = tree.Declaration(end.span, kind, name, None, (), ())
            key, label = f"declared {name.text}", f"product {name.text}"
            found[name.text] = at.line(node, key, "product: ", label)
    return found


class Outline:
    """Puts trees together from lines. `order` has every path that may come, in order."""

    def __init__(self, order: Iterable[Path]) -> None:
        self._below: dict[Path, list[Path]] = {}
        for path in order:
            self._below.setdefault(path[:-1], []).append(path)

    def statements(self, file: str, lines: Mapping[Path, Line]) -> tuple[tree.Statement, ...]:
        """What a file states, of all lines that are not idle."""
        return tuple(self._below_path((file,), lines))

    def _below_path(self, path: Path, lines: Mapping[Path, Line]) -> list[Any]:
        chosen = (lines[below] for below in self._below.get(path, ()) if below in lines)
        kept = sorted((line for line in chosen if not line.idle), key=_is_second_model)
        return [self._node(line, lines) for line in kept]

    def _node(self, line: Line, lines: Mapping[Path, Line]) -> tree.Node:
        node = line.node
        if not isinstance(node, Block):
            return node
        below = self._below_path(line.path, lines)
        body = tuple(one for one in below if not isinstance(one, tree.Argument | tree.Parameter))
        match node:
            case tree.Declaration():
                arguments = tuple(one for one in below if isinstance(one, tree.Argument))
                return replace(node, arguments=arguments, body=body)
            case tree.ClassDefinition() | tree.TemplateDefinition():
                parameters = tuple(one for one in below if isinstance(one, tree.Parameter))
                return replace(node, parameters=parameters, body=body)
        return replace(node, body=body)


def _is_second_model(line: Line) -> bool:
    return isinstance(line.node, tree.ModelDefinition) and line.words == "other"


def merged(before: Iterable[Path], after: Iterable[Path]) -> list[Path]:
    """The paths of both in AFTER's order; what only BEFORE has is after what it was
    behind."""
    order = list(dict.fromkeys(after))
    known = set(order)
    following: dict[Path | None, list[Path]] = {}
    last: Path | None = None
    for path in before:
        if path in known:
            last = path
        else:
            following.setdefault(last, []).append(path)
    found = list(following.get(None, ()))
    for path in order:
        found += [path, *following.get(path, ())]
    return found
