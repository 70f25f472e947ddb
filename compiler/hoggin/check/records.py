"""What the classes in use say, as plain words: how a revision of a library is told from another.

The words are made from the tree, so that layout, comments and the way a number is written make no
difference.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from hoggin.check.scope import ClassEntity, LetEntity, Scope
from hoggin.check.words import cited, typed, words
from hoggin.schema.plant import ClassRecord
from hoggin.syntax import tree
from hoggin.syntax.walk import paths


def class_path(entity: ClassEntity) -> str:
    """A class's name whatever it was imported as: `std.cones.high_pivot`, `ours.hog:jaw`."""
    library = entity.node.span.source.name
    joint = "." if library.startswith("std.") else ":"
    return f"{library}{joint}{entity.node.name.text}"


def class_records(classes: Mapping[str, ClassEntity]) -> tuple[ClassRecord, ...]:
    """A record of each class, by path, with the library's own `let` lines that it hangs on."""
    return tuple(
        ClassRecord(path=path, lines=_numbered(_lines(entity)))
        for path, entity in sorted(classes.items())
    )


def _numbered(lines: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Lines by name; those of a name that is used again (`caution`) are counted."""
    numbered: dict[str, str] = {}
    counts: Counter[str] = Counter()
    for name, said in lines:
        counts[name] += 1
        numbered[name if counts[name] == 1 else f"{name} {counts[name]}"] = said
    return numbered


def _lines(entity: ClassEntity) -> Iterator[tuple[str, str]]:
    node = entity.node
    for given in node.parameters:
        yield given.name.text, typed(given)
    yield from _body(node.body, "")
    for name, let in sorted(_lets(node.body, entity.scope, {}).items()):
        yield f"let {name}", words(let.node.value)


def _body(body: Iterable[tree.Statement], before: str) -> Iterator[tuple[str, str]]:
    rules = 0
    for statement in body:
        match statement:
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
                rules += 1
                yield f"rule {rules}", f"{words(broken_unless)} else {words(reason)}"


def _lets(
    nodes: Iterable[tree.Node], scope: Scope, found: dict[str, LetEntity]
) -> dict[str, LetEntity]:
    """The `let` lines of a class's own file that its words name, and those that they name."""
    for path in (path for node in nodes for path in paths(node)):
        name = path.parts[0].text
        entity = scope.names.get(name)
        if isinstance(entity, LetEntity) and name not in found:
            found[name] = entity
            _lets([entity.node.value], scope, found)
    return found
