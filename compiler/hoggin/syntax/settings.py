"""Settings of a plant given other values, on its tree and not in its text.

A plain name is that of a `let` in the plant's file. A dotted one is what a declaration states:
`secondary.css` a setting or geometry of a machine, `shot_rock.rate` a feed's, `granite.moisture` a
material's, `sorting.top` the aperture of a deck, `order_book.drain` the share of a splitter's
outlet, `tertiary.css` a parameter of a section, `secondary.operation.pace` what a machine states of
its operation.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from hoggin.syntax import tree

Statements = tuple[tree.Statement, ...]
_OPERATION = "operation"


@dataclass(frozen=True, eq=False)
class Setting:
    """A setting by its name, and what is in its place; `deck` where it is an aperture.
    `ident` is its last word, as a part of the text that gives the value."""

    name: str
    value: tree.Expression
    deck: tree.Expression
    ident: tree.Ident


def with_settings(
    statements: Statements, settings: Iterable[Setting]
) -> tuple[Statements, list[Setting]]:
    """The statements with the settings in them, and the settings that no place was found for. What
    a declaration does not state is added: the checker says whether there is such a thing."""
    lost: list[Setting] = []
    for setting in settings:
        changed = tuple(_put(statement, setting) for statement in statements)
        if all(new is old for new, old in zip(changed, statements, strict=True)):
            lost.append(setting)
        statements = changed
    return statements, lost


def stated(statements: Iterable[tree.Statement]) -> Iterator[tuple[str, tree.Expression]]:
    """What may be set here, by name, as it is stated now."""
    for statement in statements:
        match statement:
            case tree.PlantDefinition(body=body):
                yield from stated(body)
            case tree.Let(name=name, value=value):
                yield name.text, value
            case tree.Declaration(name=name, arguments=arguments, body=body):
                yield from ((f"{name.text}.{a.name.text}", a.value) for a in arguments)
                yield from ((f"{name.text}.{part}", value) for part, value in _parts(body))
            case tree.Definition(keyword=keyword, body=body) if keyword.text == "material":
                name = statement.name
                yield from ((f"{name.text}.{part}", value) for part, value in _parts(body or ()))


def _parts(body: Iterable[tree.Statement]) -> Iterator[tuple[str, tree.Expression]]:
    for statement in body:
        match statement:
            case (
                tree.Fact(name=name, value=value)
                | tree.Deck(name=name, aperture=value)
                | tree.Port(name=name, share=value)
            ) if value is not None:
                yield name.text, value
            case tree.Operation(body=body):
                yield from ((f"{_OPERATION}.{part}", value) for part, value in _parts(body))


def _put(statement: tree.Statement, setting: Setting) -> tree.Statement:
    """The statement with the setting in it; itself where the setting is of something else."""
    owner, part = _owner_and_part(setting.name)
    match statement:
        case tree.PlantDefinition(body=body):
            changed = tuple(_put(one, setting) for one in body)
            same = all(new is old for new, old in zip(changed, body, strict=True))
            return statement if same else replace(statement, body=changed)
        case tree.Let(name=name) if not owner and name.text == part:
            return replace(statement, value=setting.value)
        case tree.Declaration(name=name) if owner and name.text == owner:
            return _in_declaration(statement, part, setting)
        case tree.Definition(keyword=keyword, body=body) if (
            body is not None and keyword.text == "material" and statement.name.text == owner
        ):
            return replace(statement, body=_in_body(body, part, setting))
    return statement


def _owner_and_part(name: str) -> tuple[str, str]:
    """`secondary.operation.pace` -> ("secondary", "operation.pace")."""
    owner, _, part = name.rpartition(".")
    of, _, block = owner.rpartition(".")
    return (of, f"{block}.{part}") if of and block == _OPERATION else (owner, part)


def _in_declaration(node: tree.Declaration, part: str, setting: Setting) -> tree.Declaration:
    if any(argument.name.text == part for argument in node.arguments):
        arguments = tuple(
            replace(one, value=setting.value) if one.name.text == part else one
            for one in node.arguments
        )
        return replace(node, arguments=arguments)
    if node.kind.text == "section":
        new = tree.Argument(setting.value.span, setting.ident, setting.value)
        return replace(node, arguments=(*node.arguments, new))
    return replace(node, body=_in_body(node.body, part, setting))


def _in_body(body: Statements, part: str, setting: Setting) -> Statements:
    if all(name != part for name, _ in _parts(body)):
        return _added(body, part, setting)
    return tuple(_restated(one, part, setting) for one in body)


def _added(body: Statements, part: str, setting: Setting) -> Statements:
    fact = tree.Fact(setting.value.span, setting.ident, setting.value, None, None)
    if not part.startswith(f"{_OPERATION}."):
        return (*body, fact)
    blocks = [one for one in body if isinstance(one, tree.Operation)]
    block = blocks[0] if blocks else tree.Operation(setting.value.span, ())
    larger = replace(block, body=(*block.body, fact))
    return (*(one for one in body if one is not block), larger)


def _restated(statement: tree.Statement, part: str, setting: Setting) -> tree.Statement:
    match statement:
        case tree.Fact(name=name, value=value) if name.text == part and value is not None:
            return replace(statement, value=setting.value)
        case tree.Deck(name=name) if name.text == part:
            return replace(statement, aperture=setting.deck)
        case tree.Port(name=name, share=share) if name.text == part and share is not None:
            return replace(statement, share=setting.value)
        case tree.Operation(body=body) if part.startswith(f"{_OPERATION}."):
            inner = part.partition(".")[2]
            return replace(statement, body=tuple(_restated(one, inner, setting) for one in body))
    return statement
