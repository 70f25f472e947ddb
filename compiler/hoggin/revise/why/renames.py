"""Things that were renamed: BEFORE is rewritten in AFTER's names, so that a new name alone is not
an edit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from hoggin.revise.compare.matching import match
from hoggin.schema.plant import Plant
from hoggin.syntax import tree
from hoggin.syntax.walk import mapped


def renames(before: Plant, after: Plant) -> dict[str, str]:
    """New names of feeds, machines, products and sections, by the old ones.

    A section is renamed where all in it are, each to its own like in one other section.
    """
    found: dict[str, str] = {}
    clashes: set[str] = set()
    for old, new in match(before, after).nodes.items():
        head, _, inner = old.partition(".")
        new_head, _, new_inner = new.partition(".")
        if inner != new_inner or found.setdefault(head, new_head) != new_head:
            clashes.add(head)
    return {old: new for old, new in found.items() if old != new and old not in clashes}


def in_new_names(file: tree.File, names: Mapping[str, str]) -> tuple[tree.Statement, ...]:
    """The statements of a plant's file, its machines, feeds and products by their new names."""
    return tuple(
        replace(s, body=tuple(_statement(one, names) for one in s.body))
        if isinstance(s, tree.PlantDefinition)
        else s
        for s in file.statements
    )


def _statement(statement: tree.Statement, names: Mapping[str, str]) -> tree.Statement:
    match statement:
        case tree.Declaration(name=name):
            return replace(statement, name=_ident(name, names))
        case tree.Route(endpoints=endpoints):
            renamed = tuple(replace(end, path=head_in(end.path, names)) for end in endpoints)
            return replace(statement, endpoints=renamed)
        case tree.Choose(body=body) | tree.Option(body=body):
            return replace(statement, body=tuple(_statement(one, names) for one in body))
    return statement


def head_in(path: tree.Path, names: Mapping[str, str]) -> tree.Path:
    return replace(path, parts=(_ident(path.parts[0], names), *path.parts[1:]))


def result_in(node: tree.Expression, names: Mapping[str, str]) -> tree.Expression:
    """An expression over results in new names."""
    return mapped(node, lambda one: head_in(one, names) if isinstance(one, tree.Path) else one)


def _ident(name: tree.Ident, names: Mapping[str, str]) -> tree.Ident:
    return replace(name, text=names[name.text]) if name.text in names else name
