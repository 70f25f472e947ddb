"""A plant with its own libraries as one file, in which every name stands for what it says.

So two revisions compare definition by definition, whatever files these are in and whatever those
are imported as. What two files call alike has the name of its file after it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields, replace
from typing import TypeVar

from hoggin.syntax import tree

Find = Mapping[tuple[str, str], str]
"""(name of a file, a library of the plant's own as it is written there) -> that library's name."""

_Definition = (
    tree.Let | tree.ClassDefinition | tree.TemplateDefinition | tree.Series | tree.Definition
)
_OF_MACHINES = (tree.Endpoint, tree.Requirement, tree.Aim)  # their names are those of machines
_Tree = TypeVar("_Tree")


@dataclass
class _Names:
    """What a file's names stand for: definitions by the names they get, libraries by alias."""

    own: dict[str, str] = field(default_factory=dict)
    files: dict[str, str] = field(default_factory=dict)
    standard: dict[str, str] = field(default_factory=dict)


def flattened(files: Mapping[str, tree.File], find: Find) -> tree.File:
    """The plant's file with all that its libraries define. `files` has the plant's own first."""
    main = next(iter(files))
    counts = Counter(one.name.text for file in files.values() for one in _definitions(file))
    names = {name: _names(name, file, find, counts, main) for name, file in files.items()}
    uses: dict[str, tree.Use] = {}
    statements: list[tree.Statement] = []
    for name, file in files.items():
        for statement in file.statements:
            if isinstance(statement, tree.Use):
                if isinstance(statement.target, tree.Path):
                    alias = _standard(statement.target, counts)
                    ident = tree.Ident(statement.span, alias)
                    uses.setdefault(alias, replace(statement, alias=ident))
            elif name == main or isinstance(statement, _Definition):
                statements.append(_renamed(statement, names, name))
    return replace(files[main], statements=(*uses.values(), *statements))


def _definitions(file: tree.File) -> Iterator[_Definition]:
    return (one for one in file.statements if isinstance(one, _Definition))


def _standard(target: tree.Path, counts: Mapping[str, int]) -> str:
    """What a library of the compiler's is called: `cones`, `astm`; in full where that is taken."""
    name = target.dotted.removeprefix("std.").removeprefix("gradings.")
    return target.dotted if counts.get(name) else name


def _names(name: str, file: tree.File, find: Find, counts: Mapping[str, int], main: str) -> _Names:
    found = _Names()
    for one in _definitions(file):
        own = one.name.text
        alone = counts[own] == 1 or name == main
        found.own[own] = own if alone else f"{own} ({name})"
    for use in (s for s in file.statements if isinstance(s, tree.Use)):
        if isinstance(use.target, tree.Path):
            alias = use.alias.text if use.alias else use.target.parts[-1].text
            found.standard[alias] = _standard(use.target, counts)
        elif use.alias is not None and (name, use.target.text) in find:
            found.files[use.alias.text] = find[name, use.target.text]
    return found


def _renamed(statement: _Tree, names: Mapping[str, _Names], name: str) -> _Tree:
    """A statement of a file with all names as they are in one file."""
    given = _named_within(statement)
    if isinstance(statement, _Definition):
        own = replace(statement.name, text=names[name].own[statement.name.text])
        statement = replace(statement, name=own)
        return _with_names(statement, names, name, given, top=True)
    return _with_names(statement, names, name, given)


def _named_within(node: object) -> set[str]:
    """Values that a block names itself; they hide those of its file."""
    if isinstance(node, tuple):
        return set().union(*map(_named_within, node))
    if not isinstance(node, tree.Node):
        return set()
    found = set().union(*(_named_within(getattr(node, part.name)) for part in fields(node)))
    if isinstance(node, tree.Parameter):
        found.add(node.name.text)
    body = getattr(node, "body", None) or ()
    return found | {one.name.text for one in body if isinstance(one, tree.Let)}


def _with_names(
    node: _Tree, names: Mapping[str, _Names], name: str, given: set[str], *, top: bool = False
) -> _Tree:
    if isinstance(node, tuple):
        return tuple(_with_names(item, names, name, given) for item in node)  # type: ignore[return-value]
    if isinstance(node, tree.Path):
        return node if node.parts[0].text in given else _path(node, names, name)  # type: ignore[return-value]
    if not isinstance(node, tree.Node) or isinstance(node, _OF_MACHINES):
        return node
    kept = {"name", "path"} if top else set[str]()
    return replace(
        node,
        **{
            part.name: _with_names(getattr(node, part.name), names, name, given)
            for part in fields(node)
            if part.name not in kept | {"span"}
        },
    )


def _path(path: tree.Path, names: Mapping[str, _Names], name: str) -> tree.Path:
    """A dotted name without the files it leads through."""
    parts = path.parts
    while len(parts) > 1 and parts[0].text in names[name].files:
        name = names[name].files[parts[0].text]
        parts = parts[1:]
    known, head = names[name], parts[0].text
    text = known.standard.get(head) if len(parts) > 1 else known.own.get(head)
    if text is not None:
        parts = (replace(parts[0], text=text), *parts[1:])
    return replace(path, parts=parts)
