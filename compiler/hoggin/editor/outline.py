"""A document's outline and its folding ranges."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from hoggin.diagnostics.source import Source, Span
from hoggin.editor.snapshot import Snapshot
from hoggin.syntax import tree
from hoggin.syntax.printer import line


@dataclass(frozen=True, slots=True)
class Entry:
    """A thing in the outline; `name` is the part of `span` to go to."""

    title: str
    detail: str
    kind: str
    span: Span
    name: Span
    inner: tuple[Entry, ...] = ()


@dataclass(frozen=True, slots=True)
class Fold:
    """Lines from 0; the last is folded with the others."""

    first: int
    last: int
    is_comment: bool = False


def outline(file: tree.File) -> tuple[Entry, ...]:
    return tuple(_entries(file.statements))


def _entries(body: Iterable[tree.Statement]) -> Iterator[Entry]:
    for statement in body:
        entry = _entry(statement)
        if entry is not None:
            yield entry


def _entry(node: tree.Statement) -> Entry | None:
    span = node.span
    match node:
        case tree.Use(target=target, alias=alias):
            shown = target.dotted if isinstance(target, tree.Path) else target.text
            called = alias.text if alias else ""
            return Entry(shown or "use", called, "library", span, target.span)
        case tree.Let(name=name, value=value):
            return Entry(name.text, line(value), "let", span, name.span)
        case tree.PlantDefinition(title=title, body=body):
            shown = title.text or "plant"
            return Entry(shown, "plant", "plant", span, title.span, tuple(_entries(body)))
        case tree.ClassDefinition(kind=kind, name=name, parameters=given, body=body):
            inner = (*_parameters(given), *_entries(body))
            return Entry(name.text, f"class {kind.text}", "class", span, name.span, inner)
        case tree.TemplateDefinition(name=name, parameters=given, body=body):
            inner = (*_parameters(given), *_entries(body))
            return Entry(name.text, "template", "template", span, name.span, inner)
        case tree.Series(name=name):
            return Entry(name.text, "series", "series", span, name.span)
        case tree.Definition(keyword=keyword, body=body) if body is not None:
            return Entry(node.name.text, keyword.text, keyword.text, span, node.name.span)
        case tree.SettingDefinition(parameter=one):
            return Entry(one.name.text, line(one.type), "setting", span, one.name.span)
        case tree.ModelDefinition(role=role, name=name):
            return Entry(name.text, f"{role.text} model", "model", span, name.span)
    return _entry_in_plant(node)


def _entry_in_plant(node: tree.Statement) -> Entry | None:
    span = node.span
    match node:
        case tree.Declaration(kind=kind, name=name, of=of, body=body):
            detail = f"{kind.text} {of.dotted}" if of is not None else kind.text
            return Entry(name.text, detail, kind.text, span, name.span, tuple(_entries(body)))
        case tree.Deck(name=name, aperture=aperture):
            return Entry(name.text, line(aperture), "deck", span, name.span)
        case tree.Port(direction=direction, name=name):
            return Entry(name.text, direction, "port", span, name.span)
        case tree.Requirement(condition=condition):
            return Entry(line(condition) or "require", "require", "requirement", span, span)
        case tree.Choose(name=name, body=body):
            return Entry(name.text, "choose", "choose", span, name.span, tuple(_entries(body)))
        case tree.Case(name=name, of=of):
            begun = f"case from {of.text}" if of is not None else "case"
            return Entry(name.text, begun, "case", span, name.span)
        case tree.Option(name=name, body=body):
            return Entry(name.text, "option", "option", span, name.span, tuple(_entries(body)))
    return None


def _parameters(given: Iterable[tree.Parameter]) -> Iterator[Entry]:
    for one in given:
        yield Entry(one.name.text, line(one.type), "parameter", one.span, one.name.span)


def folds(snapshot: Snapshot) -> tuple[Fold, ...]:
    """Blocks, brackets over several lines, and comments of several lines."""
    source = snapshot.source
    found: list[Fold] = []
    opened: list[int] = []
    for token in snapshot.tokens:
        if token.kind in ("LBRACE", "LPAR"):
            opened.append(source.line_column(token.start)[0] - 1)
        elif token.kind in ("RBRACE", "RPAR") and opened:
            first = opened.pop()
            last = source.line_column(token.start)[0] - 2  # the closing line stays visible
            if last > first:
                found.append(Fold(first, last))
    return tuple(sorted({*found, *_comments(source)}, key=lambda fold: (fold.first, fold.last)))


def _comments(source: Source) -> Iterator[Fold]:
    lines = source.text.split("\n")
    first: int | None = None
    for number, text in enumerate([*lines, ""]):
        if text.lstrip().startswith("#"):
            first = number if first is None else first
        elif first is not None:
            if number - 1 > first:
                yield Fold(first, number - 1, is_comment=True)
            first = None
