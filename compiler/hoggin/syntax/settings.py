"""Settings of a plant given other values, on its tree and not in its text.

A plain name is that of a `let` in the plant's file. A dotted one is what a declaration states:
`secondary.css` a setting or geometry of a machine, `shot_rock.rate` a feed's, `granite.moisture` a
material's, `sorting.top` the aperture of a deck, `sorting.top.spray` what the deck states,
`order_book.drain` the share of a splitter's outlet, `tertiary.css` a parameter of a section,
`secondary.operation.pace` what a machine states of its operation, `operation.shifts` the plant. Of
a library, `rocks.granite.moisture` is what it states of a material.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from hoggin.syntax import tree

Statements = tuple[tree.Statement, ...]
OPERATION = "operation"


@dataclass(frozen=True, eq=False)
class Setting:
    """A setting by its name, and what is in its place; `deck` where it is an aperture.
    `ident` is its last word, as a part of the text that gives the value. `entries` are in the
    value's place where it is a list."""

    name: str
    value: tree.Expression
    deck: tree.Expression
    ident: tree.Ident
    entries: tuple[tree.Entry, ...] | None = None
    source: tree.Text | None = None
    owner: tree.Ident | None = None  # the word before the last, where the text has one

    @staticmethod
    def of(line: tree.Fact, name: str) -> Setting:
        """What a line states, put in the place of the setting of this name."""
        parts = line.name.parts if isinstance(line.name, tree.DottedIdent) else (line.name,)
        last, owner = parts[-1], parts[-2] if len(parts) > 1 else None
        value = line.value or tree.Path(line.name.span, (last,))  # a list stands in its place
        return Setting(name, value, value, last, line.entries, line.source, owner)

    @property
    def fact(self) -> tree.Fact:
        """The setting as a line of its block."""
        value = self.value if self.entries is None else None
        return tree.Fact(self.value.span, self.ident, value, self.entries, self.source)


def with_settings(
    statements: Statements, settings: Iterable[Setting]
) -> tuple[Statements, list[Setting]]:
    """The statements with the settings in them, and the settings that no place was found for. What
    a declaration does not state is added: the checker says whether there is such a thing."""
    lost: list[Setting] = []
    for setting in settings:
        changed = _in_all(statements, setting, _of_material(statements, setting))
        if changed is statements:
            lost.append(setting)
        statements = changed
    return statements, lost


def stated(statements: Iterable[tree.Statement]) -> Iterator[tuple[str, tree.Expression]]:
    """What may be set here, by name, as it is stated now; a list is not told."""
    for statement in statements:
        match statement:
            case tree.PlantDefinition(body=body) | tree.Choose(body=body) | tree.Option(body=body):
                yield from stated(body)
            case tree.Operation():
                yield from _parts((statement,))
            case tree.Let(name=name, value=value):
                yield name.text, value
            case tree.Declaration(name=name, arguments=arguments, body=body):
                yield from ((f"{name.text}.{a.name.text}", a.value) for a in arguments)
                yield from ((f"{name.text}.{part}", value) for part, value in _parts(body))
            case tree.Definition(name=name, body=body) if _is_material(statement):
                yield from ((f"{name.text}.{part}", value) for part, value in _parts(body or ()))


def owners(statements: Iterable[tree.Statement]) -> Iterator[str]:
    """The names before the dot of what may be set here."""
    for statement in statements:
        match statement:
            case tree.PlantDefinition(body=body) | tree.Choose(body=body) | tree.Option(body=body):
                yield from owners(body)
            case tree.Declaration(name=name, body=body):
                yield name.text
                yield from (f"{name.text}.{one.name.text}" for one in _decks(body))
            case tree.Definition(name=name) if _is_material(statement):
                yield name.text


def _is_material(statement: tree.Definition) -> bool:
    return statement.keyword.text == "material" and statement.body is not None


def _decks(body: Iterable[tree.Statement]) -> Iterator[tree.Deck]:
    return (one for one in body if isinstance(one, tree.Deck))


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
                yield from ((f"{OPERATION}.{part}", value) for part, value in _parts(body))
        if isinstance(statement, tree.Deck):
            deck = statement.name.text
            yield from ((f"{deck}.{part}", value) for part, value in _parts(statement.body))


def _of_material(statements: Statements, setting: Setting) -> bool | None:
    """Whether a setting is of a material, or of a declaration; None where the name tells. A feed
    may be called as its rock is: then it is of the one that states it."""
    owner, _, part = setting.name.partition(".")
    rocks = [s for s in statements if isinstance(s, tree.Definition) and s.name.text == owner]
    if not rocks or owner not in owners(s for s in statements if s not in rocks):
        return None
    named = (s.name.text for s in rocks[0].body if isinstance(s, tree.Fact))
    return part in named


def _in_all(statements: Statements, setting: Setting, of_material: bool | None) -> Statements:
    """The statements with the setting in them; themselves where it is of none of them."""
    changed = tuple(_put(statement, setting, of_material) for statement in statements)
    same = all(new is old for new, old in zip(changed, statements, strict=True))
    return statements if same else changed


def _put(statement: tree.Statement, setting: Setting, of_material: bool | None) -> tree.Statement:
    """The statement with the setting in it; itself where the setting is of something else."""
    owner, _, part = setting.name.partition(".")
    match statement:
        case tree.PlantDefinition(body=body) if owner == OPERATION and part:
            return replace(statement, body=in_body(body, setting.name, setting))
        case tree.Use() if owner == statement.name.text and "." in part:
            owner_of = setting.owner or setting.ident
            name = tree.DottedIdent(owner_of.span, part, (owner_of, setting.ident))
            fact = replace(setting.fact, name=name)
            return replace(statement, changed=(*statement.changed, fact))
        case tree.PlantDefinition(body=body) | tree.Choose(body=body) | tree.Option(body=body):
            changed = _in_all(body, setting, of_material)
            return statement if changed is body else replace(statement, body=changed)
        case tree.Let(name=name) if setting.name == name.text and setting.entries is None:
            return replace(statement, value=setting.value)
        case tree.Declaration(name=name) if part and name.text == owner and not of_material:
            return _in_declaration(statement, part, setting)
        case tree.Definition(name=name, body=body) if (
            part and name.text == owner and _is_material(statement) and of_material is not False
        ):
            return replace(statement, body=in_body(body or (), part, setting))
    return statement


def _in_declaration(node: tree.Declaration, part: str, setting: Setting) -> tree.Declaration:
    if any(argument.name.text == part for argument in node.arguments):
        arguments = tuple(
            replace(one, value=setting.value) if one.name.text == part else one
            for one in node.arguments
        )
        return replace(node, arguments=arguments)
    if node.kind.text == "section" and "." in part:
        return node
    if node.kind.text == "section":
        new = tree.Argument(setting.value.span, setting.ident, setting.value)
        return replace(node, arguments=(*node.arguments, new))
    deck, dot, inner = part.partition(".")
    if not dot or deck == OPERATION:
        return replace(node, body=in_body(node.body, part, setting))
    body = tuple(
        replace(one, body=in_body(one.body, inner, setting))
        if isinstance(one, tree.Deck) and one.name.text == deck
        else one
        for one in node.body
    )
    same = all(new is old for new, old in zip(body, node.body, strict=True))
    return node if same else replace(node, body=body)


def in_body(body: Statements, part: str, setting: Setting) -> Statements:
    """The statements of a block with the setting in them, by its name within the block."""
    found = tuple(_restated(one, part, setting) for one in body)
    if all(new is old for new, old in zip(found, body, strict=True)):
        return _added(body, part, setting)
    return found


def _added(body: Statements, part: str, setting: Setting) -> Statements:
    if not part.startswith(f"{OPERATION}."):
        return (*body, setting.fact)
    blocks = [one for one in body if isinstance(one, tree.Operation)]
    block = blocks[0] if blocks else tree.Operation(setting.value.span, ())
    larger = replace(block, body=(*block.body, setting.fact))
    return (*(one for one in body if one is not block), larger)


def _restated(statement: tree.Statement, part: str, setting: Setting) -> tree.Statement:
    match statement:
        case tree.Fact(name=name) if name.text == part:
            fact = setting.fact
            return replace(statement, value=fact.value, entries=fact.entries, source=fact.source)
        case tree.Deck(name=name) if name.text == part and setting.entries is None:
            return replace(statement, aperture=setting.deck)
        case tree.Port(name=name, share=share) if name.text == part and share is not None:
            return replace(statement, share=setting.value)
        case tree.Operation(body=body) if part.startswith(f"{OPERATION}."):
            inner = part.partition(".")[2]
            found = tuple(_restated(one, inner, setting) for one in body)
            same = all(new is old for new, old in zip(found, body, strict=True))
            return statement if same else replace(statement, body=found)
    return statement
