"""Settings of a plant made free on its tree, not in its text.

A plain name is that of a `let` in the plant's file. A dotted one is what a declaration states:
`secondary.css` a setting or geometry of a machine, `shot_rock.rate` a feed's, `granite.moisture` a
material's, `sorting.top` the aperture of a deck, `order_book.drain` the share of a splitter's
outlet, `tertiary.css` a parameter of a section.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from hoggin.syntax import tree


@dataclass(frozen=True, eq=False)
class Freed:
    """A setting by its name, and what stands in its place; `deck` where it is an aperture."""

    name: str
    value: tree.Expression
    deck: tree.Expression

    @property
    def ident(self) -> tree.Ident:
        """Its last word as a name of the text the value was written in."""
        return tree.Ident(self.value.span, self.name.rpartition(".")[2])


def freed(
    statements: tuple[tree.Statement, ...], settings: Iterable[Freed]
) -> tuple[tuple[tree.Statement, ...], list[Freed]]:
    """The statements with the settings in them, and the settings that no place was found for."""
    lost: list[Freed] = []
    for setting in settings:
        statements, found = _put(statements, setting)
        if not found:
            lost.append(setting)
    return statements, lost


def nameable(statements: Iterable[tree.Statement]) -> list[str]:
    """Names that a setting may have here, to guess from."""
    names: list[str] = []
    for statement in statements:
        match statement:
            case tree.PlantDefinition(body=body):
                names += nameable(body)
            case tree.Let(name=name):
                names.append(name.text)
            case tree.Declaration(name=name, arguments=arguments, body=body):
                names += [f"{name.text}.{argument.name.text}" for argument in arguments]
                names += [f"{name.text}.{inner}" for inner in map(_valued, body) if inner]
            case tree.Definition(keyword=keyword, body=body) if keyword.text == "material":
                inners = map(_valued, body or ())
                names += [f"{statement.name.text}.{inner}" for inner in inners if inner]
    return names


def _valued(statement: tree.Statement) -> str:
    match statement:
        case tree.Fact(name=name, value=value) if value is not None:
            return "" if isinstance(value, tree.Path | tree.Text) else name.text
        case tree.Deck(name=name):
            return name.text
        case tree.Port(name=name, share=share) if share is not None:
            return name.text
    return ""


def _put(
    statements: tuple[tree.Statement, ...], setting: Freed
) -> tuple[tuple[tree.Statement, ...], bool]:
    owner, dot, part = setting.name.rpartition(".")
    change = _in_owner(owner, part, setting) if dot else _in_let(part, setting)
    found = False

    def one(statement: tree.Statement) -> tree.Statement:
        nonlocal found
        if isinstance(statement, tree.PlantDefinition):
            return replace(statement, body=tuple(map(one, statement.body)))
        changed = change(statement)
        found = found or changed is not statement
        return changed

    return tuple(map(one, statements)), found


def _in_let(name: str, setting: Freed) -> Callable[[tree.Statement], tree.Statement]:
    def change(statement: tree.Statement) -> tree.Statement:
        if isinstance(statement, tree.Let) and statement.name.text == name:
            return replace(statement, value=setting.value)
        return statement

    return change


def _in_owner(owner: str, part: str, setting: Freed) -> Callable[[tree.Statement], tree.Statement]:
    """In a declaration or material of this name. What it does not state is added: the checker says
    whether there is such a thing."""

    def change(statement: tree.Statement) -> tree.Statement:
        if isinstance(statement, tree.Definition):
            if statement.keyword.text != "material" or statement.name.text != owner:
                return statement
            if statement.body is None:
                return statement
            return replace(statement, body=_in_body(statement.body, part, setting))
        if not isinstance(statement, tree.Declaration) or statement.name.text != owner:
            return statement
        if any(argument.name.text == part for argument in statement.arguments):
            arguments = tuple(
                replace(a, value=setting.value) if a.name.text == part else a
                for a in statement.arguments
            )
            return replace(statement, arguments=arguments)
        if statement.kind.text == "section":
            new = tree.Argument(setting.value.span, setting.ident, setting.value)
            return replace(statement, arguments=(*statement.arguments, new))
        return replace(statement, body=_in_body(statement.body, part, setting))

    return change


def _in_body(
    body: tuple[tree.Statement, ...], part: str, setting: Freed
) -> tuple[tree.Statement, ...]:
    changed = tuple(_stated(statement, part, setting) for statement in body)
    if any(new is not old for new, old in zip(changed, body, strict=True)):
        return changed
    fact = tree.Fact(setting.value.span, setting.ident, setting.value, None, None)
    return (*body, fact)


def _stated(statement: tree.Statement, part: str, setting: Freed) -> tree.Statement:
    match statement:
        case tree.Fact() if statement.name.text == part and statement.value is not None:
            return replace(statement, value=setting.value)
        case tree.Deck() if statement.name.text == part:
            return replace(statement, aperture=setting.deck)
        case tree.Port() if statement.name.text == part and statement.share is not None:
            return replace(statement, share=setting.value)
    return statement
