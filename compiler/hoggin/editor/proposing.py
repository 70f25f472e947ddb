"""Proposals of some length: classes with their arguments, settings, facts, models and their
coefficients."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from hoggin.check.tables import TABLE_SAMPLES
from hoggin.check.words import typed
from hoggin.diagnostics.source import Source
from hoggin.editor.asking import Asking, Item, about
from hoggin.editor.cursor import Cursor
from hoggin.editor.fixes import use_line
from hoggin.editor.names import Names, Symbol, Table
from hoggin.editor.values_at import number_in, sample_of
from hoggin.editor.words import meaning
from hoggin.models import catalog
from hoggin.schema.facts import Fact
from hoggin.schema.kinds import models_of
from hoggin.syntax import tree
from hoggin.world import library_names, read_text


def facts(cursor: Cursor, known: Iterable[Fact], repeat: tuple[str, ...] = ()) -> Iterator[Item]:
    """Facts that the block does not state yet, each with a value to begin from."""
    for fact in known:
        if fact.name not in cursor.stated or fact.name in repeat:
            text = f"{fact.name} {fact.sample}".rstrip()
            yield Item(fact.name, "property", meaning(fact), insert=text, hole=fact.sample)


def settings(asking: Asking, symbol: Symbol) -> Iterator[Item]:
    """Settings of a machine's class that its block does not set yet, needed ones first."""
    members = asking.snapshot.names.members(symbol).values()
    found = [m for m in members if m.kind == "setting" and m.name not in asking.cursor.stated]
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
    names, path = asking.snapshot.names, asking.cursor.path
    if path is not None:
        library = asking.library(path)
        members = names.members(library) if library is not None else {}
        yield from _calls(asking, names, members, kind)
        return
    visible = asking.scope.visible()
    for symbol in visible.values():
        yield from _calls(asking, names, {symbol.name: symbol}, kind)
        if symbol.kind == "library":
            yield from _calls(asking, names, names.members(symbol), kind, f"{symbol.name}.")
    yield from _unused(asking, kind)


def _unused(asking: Asking, kind: str) -> Iterator[Item]:
    """Classes of standard libraries that the file does not use yet; each brings its `use` line."""
    taken = asking.scope.visible()
    nodes = [symbol.node for symbol in taken.values()]
    used = {asking.snapshot.names.used_file(node) for node in nodes if isinstance(node, tree.Use)}
    for name in library_names():
        last = name.rpartition(".")[2]
        if name in used or last in taken or name.startswith("std.gradings"):
            continue
        text = read_text(asking.snapshot.path_of(name))
        names = Names({name: asking.reader.file(Source(name, text))})
        edits = (use_line(asking.snapshot, name),)
        for item in _calls(asking, names, names.top(name), kind, f"{last}."):
            yield replace(item, detail=f"{item.detail} (adds `use {name}`)", edits=edits)


def _calls(
    asking: Asking, names: Names, known: Table, kind: str, before: str = ""
) -> Iterator[Item]:
    """Those of the known names that fit, each with its arguments where none are written yet."""
    has_arguments = asking.cursor.after.lstrip().startswith("(")
    for symbol in known.values():
        if not _fits(symbol, kind):
            continue
        needed = ", ".join(
            f"{one.name}: {sample_of(one)}"
            for one in names.members(symbol).values()
            if one.kind == "parameter" and not _is_optional(one)
        )
        label = f"{before}{symbol.name}"
        text = f"{label}({needed})" if needed and not has_arguments else label
        yield Item(label, "class", about(symbol) or symbol.kind, text, needed)


def _fits(symbol: Symbol, kind: str) -> bool:
    if kind == "section":
        return symbol.kind == "template"
    node = symbol.node
    if not isinstance(node, tree.ClassDefinition) or node.kind.text != kind:
        return False
    return bool(about(symbol)) or not symbol.file.startswith(
        "std."
    )  # one only to extend is left out


def models(asking: Asking) -> Iterator[Item]:
    """`model ROLE: NAME { ... }`, with the coefficients it needs."""
    cursor = asking.cursor
    line = cursor.line
    kind = cursor.head[1].text if len(cursor.head) > 1 else ""
    if len(line) == 1:
        yield from (Item(role, "property", "role") for role in models_of(kind))
    elif len(line) == 3 and line[2].kind == "COLON":
        for name in catalog.names(line[1].text, kind):
            found = catalog.find(line[1].text, name)
            if found is not None:
                text = name if "{" in cursor.after else _whole(found)
                yield Item(name, "class", found.meaning, insert=text)


def _whole(model: catalog.Model) -> str:
    needed = [
        coefficient(one, place).insert
        for place, one in enumerate(model.coefficients)
        if one.default is None
    ]
    needed += [TABLE_SAMPLES[model.table]] if model.table else []
    return f"{model.name} {{ {'; '.join(needed)} }}"


def coefficient(one: catalog.Coefficient, place: int) -> Item:
    """A coefficient at its default, or else near the low end of its range: the later in the model,
    the higher, as k2 is over k1."""
    if one.default is not None:
        value = one.default
    else:
        value = one.low + (one.high - one.low) * (place + 1) / 1000
    sample = number_in(value, one.unit)
    limits = f", {one.low:g} to {one.high:g}"
    detail = f"{one.meaning}{limits} {one.unit}".rstrip()
    return Item(one.name, "property", detail, insert=f"{one.name} {sample}", hole=sample)
