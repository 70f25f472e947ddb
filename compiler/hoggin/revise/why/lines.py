"""A file as lines: everything an author states on its own, by what it is about.

A block is a line, its head, with the lines in it below. Two files compare line by line, whatever
the order they are written in; and a tree is put together again from any choice of lines.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from hoggin.diagnostics.source import Span
from hoggin.revise.why.meaning import (
    meaning,
    meaning_of_entries,
    meaning_of_parameter,
)
from hoggin.syntax import tree

Path = tuple[str, ...]

# What no result hangs on: it is told of, but never mixed.
_IDLE_FACTS = {"about", "source", "caution", "title", "revision", "history"}

BLOCKS = (
    tree.Declaration,
    tree.Deck,
    tree.Definition,
    tree.ModelDefinition,
    tree.ClassDefinition,
    tree.TemplateDefinition,
    tree.PlantDefinition,
    tree.Choose,
    tree.Option,
)


@dataclass(frozen=True, slots=True)
class Line:
    """path: what it is about, from the file's name inwards. words: what it means, for comparing.
    label: what it is about as a reader is told. said: its value as written."""

    path: Path
    words: str
    node: tree.Node
    span: Span
    label: str
    said: str
    idle: bool = False


@dataclass(frozen=True, slots=True)
class _Block:
    """Where lines stand: the path, and the words for telling."""

    path: Path
    label: str = ""

    def line(self, key: str, words: str, node: tree.Node, label: str, said: str) -> Line:
        told = f"{label} of {self.label}" if self.label else label
        return Line((*self.path, key), words, node, node.span, told, " ".join(said.split()))

    def inner(self, key: str, label: str) -> _Block:
        within = f" in {self.label}" if self.label else ""
        return _Block((*self.path, key), f"{label}{within}")


def lines_of(file: tree.File, name: str) -> dict[Path, Line]:
    """The lines of a file by path, as they stand in it; `name` is what it is called in paths."""
    found: dict[Path, Line] = {}
    for line in _statements(file.statements, _Block((name,))):
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
    statements: Sequence[tree.Statement],
    block: _Block,
    known: frozenset[str] = frozenset(),
) -> Iterator[Line]:
    """Lines of a block's statements; `known` are products that blocks around it declare."""
    products = list(_products(statements, block, known))
    known |= {line.node.name.text for line in products if isinstance(line.node, tree.Declaration)}
    known |= {s.name.text for s in statements if isinstance(s, tree.Declaration)}
    roles: set[str] = set()
    for statement in statements:
        match statement:
            case tree.Use():
                yield _use(statement, block)
            case tree.Route():
                yield from _route(statement, block)
            case tree.ModelDefinition(role=role, name=name, body=body):
                # A class may hold several models for a role, of which the first is the default.
                words = "other" if role.text in roles else "first"
                roles.add(role.text)
                key = f"model {role.text} {name.text}"
                yield block.line(key, words, statement, key, words)
                yield from _statements(body, block.inner(key, key))
            case tree.PlantDefinition(title=title, body=body):
                yield block.line("plant", "", statement, "plant", "")
                told = block.line("title", title.text, title, "title of the plant", title.text)
                yield replace(told, idle=True)
                yield from _statements(body, _Block((*block.path, "plant")))
            case tree.Declaration() | tree.Deck() | tree.Definition():
                yield from _block_lines(statement, block)
            case tree.ClassDefinition() | tree.TemplateDefinition():
                yield from _parameterised(statement, block)
            case tree.Choose(name=name, body=body) | tree.Option(name=name, body=body):
                word = "choose" if isinstance(statement, tree.Choose) else "option"
                key = f"{word} {name.text}"
                yield block.line(key, "", statement, f"`{key}`", "")
                yield from _statements(body, block.inner(key, f"`{key}`"), known)
            case _:
                yield _plain(statement, block)
    yield from products


def _block_lines(
    node: tree.Declaration | tree.Deck | tree.Definition,
    block: _Block,
) -> Iterator[Line]:
    """A head with what stands in its block."""
    match node:
        case tree.Declaration(kind=kind, name=name, of=of):
            key, label = f"declared {name.text}", f"{kind.text} {name.text}"
            words, said = f"{kind.text}: {meaning(of)}", of.dotted if of else ""
        case tree.Deck(name=name, aperture=aperture, shape=shape):
            key = label = f"deck {name.text}"
            words = f"{meaning(aperture)} {shape.text if shape else 'square'}"
            said = f"{aperture.span.text} {shape.text if shape else ''}"
        case tree.Definition(keyword=keyword, path=path, body=None):
            key, label, words = f"fact {keyword.text}", keyword.text, path.dotted
            said = words
        case tree.Definition(keyword=keyword, name=name):
            key = label = f"{keyword.text} {name.text}"
            words = said = ""
    yield block.line(key, words, node, label, said)
    inner = block.inner(key, label)
    for argument in node.arguments if isinstance(node, tree.Declaration) else ():
        called, value = argument.name.text, argument.value
        yield inner.line(f"argument {called}", meaning(value), argument, called, value.span.text)
    yield from _statements(node.body or (), inner)


def _parameterised(
    node: tree.ClassDefinition | tree.TemplateDefinition,
    block: _Block,
) -> Iterator[Line]:
    is_class = isinstance(node, tree.ClassDefinition)
    key = f"{'class' if is_class else 'template'} {node.name.text}"
    kind = node.kind.text if isinstance(node, tree.ClassDefinition) else ""
    yield block.line(key, kind, node, key, kind)
    inner = block.inner(key, key)
    for parameter in node.parameters:
        label = f"parameter {parameter.name.text}"
        words = meaning_of_parameter(parameter)
        yield inner.line(label, words, parameter, label, _typed(parameter))
    yield from _statements(node.body, inner)


def _typed(parameter: tree.Parameter) -> str:
    """What is said of a parameter behind its name."""
    return parameter.span.text.partition(":")[2].strip()


def _plain(statement: tree.Statement, block: _Block) -> Line:
    """A statement that no others stand in."""
    match statement:
        case tree.Let(name=name, value=value):
            key = f"let {name.text}"
            return block.line(key, meaning(value), statement, f"`{key}`", value.span.text)
        case tree.Port(direction=direction, name=name, share=share):
            key, said = f"{direction} {name.text}", share.span.text if share else ""
            return block.line(key, meaning(share), statement, key, said)
        case tree.Series(name=name, entries=entries):
            key, said = f"series {name.text}", _listed(entries)
            return block.line(key, meaning_of_entries(entries), statement, key, said)
        case tree.SettingDefinition(parameter=parameter):
            key, words = f"setting {parameter.name.text}", meaning_of_parameter(parameter)
            return block.line(key, words, statement, key, _typed(parameter))
        case tree.Rule(condition=condition):
            key = f"rule {meaning(condition)}"
            return block.line(key, "", statement, "rule", condition.span.text)
        case tree.Requirement(condition=condition):
            line = block.line(f"require {meaning(condition)}", "", statement, "", "")
            words = " ".join(statement.span.text.split())
            return replace(line, label=f"`{words}`", idle=True)
        case tree.Aim(direction=direction, expression=expression, weight=weight):
            key = f"aim {direction.text} {meaning(expression)}"
            line = block.line(key, f"{weight}", statement, "", "")
            label = f"`{' '.join(statement.span.text.split())}`"
            return replace(line, label=label, idle=True)
        case tree.Fact():
            return _fact(statement, block)
    raise TypeError(f"no line of a file: {type(statement).__name__}")


def _fact(fact: tree.Fact, block: _Block) -> Line:
    name, value, entries = fact.name.text, fact.value, fact.entries
    words = meaning(value) if entries is None else meaning_of_entries(entries)
    said = "" if value is None else value.span.text
    if entries is not None:
        said = _listed(entries)
    line = block.line(f"fact {name}", words, fact, name, said)
    return replace(line, idle=name in _IDLE_FACTS)


def _listed(entries: Sequence[tree.Entry]) -> str:
    return "{ " + ", ".join(entry.span.text for entry in entries) + " }"


def _use(use: tree.Use, block: _Block) -> Line:
    words = use.target.text if isinstance(use.target, tree.Text) else use.target.dotted
    alias = use.alias or (use.target.parts[-1] if isinstance(use.target, tree.Path) else None)
    key = f"use {alias.text if alias else words}"
    return block.line(key, words, use, f"`{key}`", words)


def _route(route: tree.Route, block: _Block) -> Iterator[Line]:
    """One line a step: exactly one leaves each outlet, which so names it."""
    for start, end in zip(route.endpoints, route.endpoints[1:], strict=False):
        target = tree.Endpoint(end.span, end.path, False)
        step = tree.Route(start.span.to(end.span), (start, target))
        start_words, end_words = start.path.dotted, end.path.dotted
        label = f"route from {start_words}"
        line = block.line(f"from {start_words}", end_words, step, label, end_words)
        yield replace(line, span=start.span)


def _products(
    statements: Iterable[tree.Statement], block: _Block, known: frozenset[str]
) -> Iterator[Line]:
    """Products that a route declares and no block of their own."""
    declared = {*known, *(s.name.text for s in statements if isinstance(s, tree.Declaration))}
    routes = (s for s in statements if isinstance(s, tree.Route))
    for endpoint in (end for route in routes for end in route.endpoints if end.new_product):
        name = endpoint.path.parts[0]
        if name.text in declared:
            continue
        declared.add(name.text)
        kind = tree.Ident(endpoint.span, "product")
        node = tree.Declaration(endpoint.span, kind, name, None, (), ())
        label = f"product {name.text}"
        yield block.line(f"declared {name.text}", "product: ", node, label, "")


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
        if not isinstance(node, BLOCKS):
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
            case tree.Definition(body=None):
                return node
        return replace(node, body=body)


def _is_second_model(line: Line) -> bool:
    return isinstance(line.node, tree.ModelDefinition) and line.words == "other"


def merged(before: Iterable[Path], after: Iterable[Path]) -> list[Path]:
    """The paths of both in AFTER's order; what only BEFORE has stands behind what it stood
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
