"""What definitions say, as plain words: how two revisions of a library are distinguished.

The words are made from the tree, so that layout, comments, the order of lines and the way a number
is written make no difference, nor where a definition is and what its library is imported as.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Mapping
from dataclasses import replace
from functools import lru_cache
from itertools import chain, count
from typing import Any, TypeVar

from hoggin.check.scope import (
    BandEntity,
    ClassEntity,
    LetEntity,
    MaterialEntity,
    ModuleEntity,
    Scope,
)
from hoggin.check.words import cited, typed, words
from hoggin.schema.plant import ClassRecord
from hoggin.syntax import tree
from hoggin.syntax.walk import children
from hoggin.world import is_library

_LIBRARY = "std."
_Key = TypeVar("_Key", bound=Hashable)
_Node = TypeVar("_Node")
_Homes = Mapping[tree.Node, Scope]  # of lines that are not looked up where the others are
_NO_HOMES: _Homes = {}


def own_name(entity: ClassEntity | MaterialEntity | BandEntity) -> str:
    """A definition's name whatever it was imported as: `jaw`, in the compiler's own library
    `std.cones.high_speed`."""
    library, name = entity.node.span.source.name, entity.node.name.text
    return f"{library}.{name}" if is_library(library) else name


def shown_name(name: str) -> str:
    """The name as a table shows it: `cones.high_speed`, `astm.c33_8`."""
    return name.removeprefix("std.gradings.").removeprefix(_LIBRARY)


def class_records(
    classes: Mapping[str, ClassEntity],
) -> tuple[dict[str, str], tuple[ClassRecord, ...]]:
    """What each machine's class is called, by the machine's tag, and a record of each class."""
    says = {entity: lines_of(entity) for entity in classes.values()}
    names = told_apart(
        {tag: (own_name(entity), tuple(says[entity].items())) for tag, entity in classes.items()}
    )
    records = {
        path: ClassRecord(path=path, name=own_name(entity), lines=says[entity])
        for path, entity in ((names[tag], entity) for tag, entity in classes.items())
    }
    return names, tuple(records[path] for path in sorted(records))


def told_apart(things: Mapping[_Key, tuple[str, Hashable]]) -> dict[_Key, str]:
    """A name for each of some things, given as their own names and what they say: those of one
    name that say the same are one, others are numbered, in the order of what they say."""
    meanings: dict[str, set[Hashable]] = {}
    for name, says in things.values():
        meanings.setdefault(name, set()).add(says)
    called: dict[tuple[str, Hashable], str] = {}
    for name, different in meanings.items():
        numbered = (f"{name}_{number}" for number in count(2))
        unlike = chain([name], (one for one in numbered if one not in meanings))
        for says in sorted(different, key=repr):
            called[name, says] = next(unlike)
    return {key: called[thing] for key, thing in things.items()}


@lru_cache(maxsize=256)  # classes of a library are the same in the next check
def lines_of(entity: ClassEntity | MaterialEntity) -> Mapping[str, str]:
    """A definition's lines by name, sorted, with the `let` lines that they depend on."""
    return _numbered(_lines(entity))


def written_out(entity: ClassEntity) -> tree.ClassDefinition:
    """A class as it would be written where nothing else is: with what it inherits, the source that
    its file gives and the `let` lines that it depends on."""
    node = _plain(entity.node, entity.scope, entity.homes)
    outside = _lets(entity.node, entity.scope, set(_own_names(node)), {}, entity.homes)
    lets = [replace(one.node, value=_plain(one.node.value, one.scope)) for one in outside]
    return replace(node, of=None, body=(*lets, *node.body))


def _numbered(lines: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Lines by name; those of a name that is used again (`caution`) are counted."""
    numbered: dict[str, str] = {}
    counts: Counter[str] = Counter()
    for name, said in sorted(lines):
        counts[name] += 1
        numbered[name if counts[name] == 1 else f"{name} {counts[name]}"] = said
    return dict(sorted(numbered.items()))


def _lines(entity: ClassEntity | MaterialEntity) -> Iterator[tuple[str, str]]:
    node = _plain(entity.node, entity.scope, entity.homes)
    if isinstance(node, tree.ClassDefinition):
        for given in node.parameters:
            yield given.name.text, typed(given)
    yield from _body(node.body or (), "")
    for let in _lets(entity.node, entity.scope, set(_own_names(node)), {}, entity.homes):
        yield f"let {let.node.name.text}", words(_plain(let.node.value, let.scope))


def _own_names(node: tree.ClassDefinition | tree.Definition) -> Iterator[str]:
    """Names that a definition gives itself; they hide those of its file."""
    if isinstance(node, tree.ClassDefinition):
        yield from (given.name.text for given in node.parameters)
    for statement in node.body or ():
        if isinstance(statement, tree.Let):
            yield statement.name.text
        elif isinstance(statement, tree.SettingDefinition):
            yield statement.parameter.name.text


def _body(body: Iterable[tree.Statement], before: str) -> Iterator[tuple[str, str]]:
    for statement in body:
        match statement:
            case tree.Fact(name=name, entries=entries) if entries is not None:  # a model's table
                for entry in entries:
                    key, _, said = words(entry).partition(": ")
                    yield f"{before}{name.text} {key}", said
            case tree.Fact(name=name, value=value):
                yield before + name.text, cited(value, statement.source)
            case tree.Let(name=name, value=value):
                yield f"{before}let {name.text}", words(value)
            case tree.SettingDefinition(parameter=setting):
                yield f"setting {setting.name.text}", typed(setting)
            case tree.ModelDefinition(role=role, name=name, body=inner):
                yield f"{role.text} {name.text}", "model"
                yield from _body(inner, f"{role.text} {name.text}.")
            case tree.Rule(condition=broken_unless, reason=reason):
                yield "rule", f"{words(broken_unless)} else {words(reason)}"


def _lets(
    node: tree.Node,
    scope: Scope,
    own: set[str],
    found: dict[LetEntity, None],
    homes: _Homes = _NO_HOMES,
) -> dict[LetEntity, None]:
    """The `let` lines outside a definition that its words name, and those that they name."""
    scope = homes.get(node, scope)
    if isinstance(node, tree.Path):
        let = None if node.parts[0].text in own else _let(node, scope)
        if let is not None and let not in found:
            found[let] = None
            _lets(let.node.value, let.scope, set(), found)
    for inner in children(node):
        _lets(inner, scope, own, found, homes)
    return found


def _let(path: tree.Path, scope: Scope) -> LetEntity | None:
    """The `let` of a file that a path leads to, through the libraries it uses."""
    entity = scope.names.get(path.parts[0].text)
    for part in path.parts[1:]:
        if not isinstance(entity, ModuleEntity):
            return None
        entity = entity.members.names.get(part.text)
    return entity if isinstance(entity, LetEntity) else None


def _plain(node: _Node, scope: Scope, homes: _Homes = _NO_HOMES) -> _Node:
    """A tree in which what a library holds goes by its own name, and lists by choice are sorted."""
    if isinstance(node, tree.Path):
        return replace(node, parts=node.parts[-1:]) if _let(node, scope) else node
    if isinstance(node, tuple):
        return tuple([_plain(item, scope, homes) for item in node])  # type: ignore[return-value]
    if not isinstance(node, tree.Node):
        return node
    scope = homes.get(node, scope)
    changed: dict[str, Any] = {}
    for name in node.__match_args__:
        part = getattr(node, name)
        if isinstance(part, tree.Node | tuple) and part:
            changed[name] = _plain(part, scope, homes)
    if "entries" in changed:
        changed["entries"] = tuple(sorted(changed["entries"], key=words))
    return replace(node, **changed) if changed else node
