"""Proposals of some length: classes with their arguments, settings, facts and models."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from hoggin.check.words import typed
from hoggin.diagnostics.source import Source
from hoggin.editor.asking import Asking, Item, about
from hoggin.editor.cursor import Cursor
from hoggin.editor.fixes import use_line
from hoggin.editor.names import Names, Symbol
from hoggin.editor.values_at import sample_of
from hoggin.editor.vocabulary import meaning
from hoggin.schema.facts import Fact
from hoggin.syntax import tree
from hoggin.world import library_names, read_text, standard_library


def facts(cursor: Cursor, known: Iterable[Fact], repeat: tuple[str, ...] = ()) -> Iterator[Item]:
    """Facts that the block does not state yet, each with a value to begin from."""
    stated = {words[0].text for words in cursor.done} - set(repeat)
    for fact in known:
        if fact.name not in stated:
            text = f"{fact.name} {fact.sample}"
            yield Item(fact.name, "property", meaning(fact), insert=text, hole=fact.sample)


def settings(asking: Asking, symbol: Symbol) -> Iterator[Item]:
    """Settings of a machine's class that its block does not set yet, needed ones first."""
    stated = {words[0].text for words in asking.cursor.done}
    members = asking.snapshot.names.members(symbol).values()
    found = [m for m in members if m.kind == "setting" and m.name not in stated]
    for one in sorted(found, key=_is_optional):
        yield parameter_item(one, " ")


def parameter_item(symbol: Symbol, between: str) -> Item:
    node = symbol.node
    assert isinstance(node, tree.Parameter)
    sample = sample_of(symbol)
    text = f"{symbol.name}{between}{sample}"
    return Item(symbol.name, "property", typed(node), insert=text, hole=sample)


def _is_optional(symbol: Symbol) -> bool:
    return isinstance(symbol.node, tree.Parameter) and symbol.node.default is not None


def class_calls(asking: Asking, kind: str) -> Iterator[Item]:
    """Classes of a kind of machine, or templates for a section, with the parameters they need."""
    names, cursor = asking.snapshot.names, asking.cursor
    has_arguments = cursor.after.lstrip().startswith("(")
    path = cursor.path
    if path is not None:
        library = asking.library(path)
        members = names.members(library) if library is not None else {}
        for one in members.values():
            if _fits(one, kind):
                yield _call(names, one, one.name, has_arguments)
        return
    used = set()
    for symbol in asking.scope.visible().values():
        if _fits(symbol, kind):
            yield _call(names, symbol, symbol.name, has_arguments)
        elif symbol.kind == "library" and isinstance(symbol.node, tree.Use):
            used.add(names.used_file(symbol.node))
            for one in names.members(symbol).values():
                if _fits(one, kind):
                    yield _call(names, one, f"{symbol.name}.{one.name}", has_arguments)
    yield from _unused(asking, kind, used, has_arguments)


def _unused(asking: Asking, kind: str, used: set[str], has_arguments: bool) -> Iterator[Item]:
    """Classes of standard libraries that the file does not use yet; each brings its `use` line."""
    taken = asking.scope.visible()
    for name in library_names():
        last = name.rpartition(".")[2]
        if name in used or last in taken or name.startswith("std.gradings"):
            continue
        path = standard_library().joinpath(*name.split(".")[1:]).with_suffix(".hog")
        names = Names({name: asking.reader.file(Source(name, read_text(path)))})
        edit = use_line(asking.snapshot, name)
        for one in names.top(name).values():
            if _fits(one, kind):
                item = _call(names, one, f"{last}.{one.name}", has_arguments)
                detail = f"{item.detail} (adds `use {name}`)"
                yield Item(item.label, item.kind, detail, item.insert, item.hole, (edit,))


def _fits(symbol: Symbol, kind: str) -> bool:
    if kind == "section":
        return symbol.kind == "template"
    node = symbol.node
    return isinstance(node, tree.ClassDefinition) and node.kind.text == kind


def _call(names: Names, symbol: Symbol, label: str, has_arguments: bool) -> Item:
    members = names.members(symbol).values() if symbol.kind == "class" else _given(symbol)
    needed = [
        f"{one.name}: {sample_of(one)}"
        for one in members
        if one.kind == "parameter" and not _is_optional(one)
    ]
    arguments = "" if has_arguments or not needed else f"({', '.join(needed)})"
    return Item(label, "class", about(symbol) or symbol.kind, label + arguments, ", ".join(needed))


def _given(symbol: Symbol) -> list[Symbol]:
    """The parameters of a template."""
    nodes = symbol.node.parameters if isinstance(symbol.node, tree.TemplateDefinition) else ()
    return [Symbol(n.name.text, "parameter", (n.name.span,), (n,)) for n in nodes]
