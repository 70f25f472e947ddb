"""What the classes in use say, as plain words: how a revision of a library is told from another.

The words are made from the tree, so that layout, comments and the way a number is written make no
difference.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields

from hoggin.check.plant import ClassRecord
from hoggin.check.scope import ClassEntity, LetEntity, Scope
from hoggin.syntax import tree


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
    for name, words in lines:
        counts[name] += 1
        numbered[name if counts[name] == 1 else f"{name} {counts[name]}"] = words
    return numbered


def _lines(entity: ClassEntity) -> Iterator[tuple[str, str]]:
    node = entity.node
    for parameter in node.parameters:
        yield parameter.name.text, _parameter(parameter)
    yield from _body(node.body, "")
    for name, let in sorted(_lets(node.body, entity.scope, {}).items()):
        yield f"let {name}", _words(let.node.value)


def _body(body: Iterable[tree.Statement], before: str) -> Iterator[tuple[str, str]]:
    rules = 0
    for statement in body:
        match statement:
            case tree.Fact(name=name, value=value):
                yield before + name.text, _cited(value, statement.source)
            case tree.Let(name=name, value=value):
                yield f"{before}let {name.text}", _words(value)
            case tree.SettingDefinition(parameter=parameter):
                yield f"setting {parameter.name.text}", _parameter(parameter)
            case tree.ModelDefinition(role=role, name=name, body=inner):
                yield f"{role.text} {name.text}", "model"
                yield from _body(inner, f"{role.text} {name.text}.")
            case tree.Rule(condition=condition, reason=reason):
                rules += 1
                yield f"rule {rules}", f'{_condition(condition)} else "{reason.text}"'


def _parameter(parameter: tree.Parameter) -> str:
    kind = parameter.type
    words = (
        kind.unit
        if isinstance(kind, tree.UnitType)
        else " | ".join(choice.text for choice in kind.choices)
    )
    if parameter.low is not None and parameter.high is not None:
        words += f" from {_words(parameter.low)} to {_words(parameter.high)}"
    if parameter.default is not None:
        words += f" = {_words(parameter.default)}"
    return words


def _cited(value: tree.Expression | None, source: tree.Text | None) -> str:
    words = "" if value is None else _words(value)
    return words if source is None else f'{words} source "{source.text}"'.strip()


def _words(node: tree.Expression) -> str:
    """An expression with single spaces, in brackets wherever it is part of another."""
    match node:
        case tree.Measure(number=number, unit=unit):
            return f"{number:.12g} {unit}"
        case tree.Number(number=number):
            return f"{number:.12g}"
        case tree.Text(text=text):
            return f'"{text}"'
        case tree.Path():
            return node.dotted
        case tree.Call(function=function, arguments=arguments):
            return f"{function.dotted}({', '.join(map(_words, arguments))})"
        case tree.Negated(operand=operand):
            return f"-{_operand(operand)}"
        case tree.Arithmetic(operator=operator, left=left, right=right):
            return f"{_operand(left)} {operator} {_operand(right)}"
        case tree.By(choice=choice, entries=entries):
            return f"by {choice.dotted} {{ {', '.join(map(_entry, entries))} }}"


def _condition(node: tree.Condition) -> str:
    match node:
        case tree.Comparison(operator=operator, left=left, right=right):
            return f"{_words(left)} {operator} {_words(right)}"
        case tree.Between(value=value, low=low, high=high):
            return f"{_words(value)} between {_words(low)} and {_words(high)}"
        case tree.MeetsBand(product=product, band=band):
            return f"{product.dotted} meets {band.dotted}"
        case tree.All(conditions=conditions):
            return " and ".join(f"({_condition(condition)})" for condition in conditions)
        case tree.AnyOf(conditions=conditions):
            return " or ".join(f"({_condition(condition)})" for condition in conditions)


def _operand(node: tree.Expression) -> str:
    words = _words(node)
    return f"({words})" if isinstance(node, tree.Arithmetic | tree.Negated) else words


def _entry(entry: tree.Entry) -> str:
    words = _words(entry.key)
    if entry.value is not None:
        words += f": {_words(entry.value)}"
    return words if entry.upper is None else f"{words} to {_words(entry.upper)}"


def _lets(
    nodes: Iterable[object], scope: Scope, found: dict[str, LetEntity]
) -> dict[str, LetEntity]:
    """The `let` lines of a class's own file that its words name, and those that they name."""
    for node in nodes:
        if isinstance(node, tree.Path):
            name = node.parts[0].text
            entity = scope.names.get(name)
            if isinstance(entity, LetEntity) and name not in found:
                found[name] = entity
                _lets([entity.node.value], scope, found)
        elif isinstance(node, tree.Node):
            _lets((getattr(node, field.name) for field in fields(node)), scope, found)
        elif isinstance(node, tuple):
            _lets(node, scope, found)
    return found
