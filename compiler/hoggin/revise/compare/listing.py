"""Every fact of a file, one a line, sorted: two files that state the same read alike.

Only the text is read, no library it uses, so this works for a file on its own, as git hands it out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from hoggin.check.words import cited, condition, entry, expression, parameter
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.syntax import tree
from hoggin.syntax.parser import parse


def listing(source: Source) -> str | None:
    """The lines, sorted; None where the file can't be read whole, as nothing may be kept back."""
    diagnostics = Diagnostics()
    file = parse(source, diagnostics)
    if diagnostics.has_errors:
        return None
    return "".join(f"{line}\n" for line in sorted(_lines(file.statements, "")))


def _lines(statements: Iterable[tree.Statement], at: str) -> Iterator[str]:
    for statement in statements:
        yield from _statement(statement, at)


def _statement(statement: tree.Statement, at: str) -> Iterator[str]:
    match statement:
        case tree.Fact(name=name, value=value, entries=entries, source=source):
            yield from _fact(f"{at}{name.text}", value, entries, source)
        case tree.Let(name=name, value=value):
            yield f"{at}let {name.text} = {expression(value)}"
        case tree.Use(target=target, alias=alias):
            where = target.dotted if isinstance(target, tree.Path) else f'"{target.text}"'
            yield f"{at}use {where}" + (f" as {alias.text}" if alias else "")
        case tree.Requirement(condition=wanted):
            yield f"{at}require {condition(wanted)}"
        case tree.Rule(condition=wanted, reason=reason):
            yield f'{at}rule {condition(wanted)} else "{reason.text}"'
        case tree.Port(direction=direction, name=name, share=share):
            words = "" if share is None else f" {expression(share)}"
            yield f"{at}{direction} {name.text}{words}"
        case tree.Route(endpoints=ends):
            for start, end in pairwise(ends):
                new = "product " if end.new_product else ""
                yield f"{at}route {start.path.dotted} -> {new}{end.path.dotted}"
        case _:
            yield from _block(statement, at)


def _fact(
    name: str,
    value: tree.Expression | None,
    entries: tuple[tree.Entry, ...] | None,
    source: tree.Text | None,
) -> Iterator[str]:
    if entries is None:
        yield f"{name} {cited(value, source)}".rstrip()
        return
    yield from (f"{name}: {entry(one)}" for one in entries)
    if source is not None:
        yield f"{name}: {cited(None, source)}"


def _block(statement: tree.Statement, at: str) -> Iterator[str]:
    """What has a block: its own line, and every line of the block led by its name."""
    match statement:
        case tree.SettingDefinition(parameter=one):
            yield f"{at}setting {one.name.text}: {parameter(one)}"
        case tree.Series(name=ident, entries=entries):
            yield from (f"{at}series {ident.text}: {entry(one)}" for one in entries)
        case tree.PlantDefinition(title=title, body=body):
            yield f'plant "{title.text}"'
            yield from _lines(body, "plant: ")
        case tree.Definition(keyword=keyword, path=path, body=body):
            name = f"{at}{keyword.text} {path.dotted}"
            yield name
            yield from _lines(body or (), f"{name}: ")
        case tree.ClassDefinition(kind=kind, name=ident, parameters=given, body=body):
            name = f"class {kind.text} {ident.text}"
            yield f"{name}({_parameters(given)})"
            yield from _lines(body, f"{name}: ")
        case tree.TemplateDefinition(name=ident, parameters=given, body=body):
            name = f"template {ident.text}"
            yield f"{name}({_parameters(given)})"
            yield from _lines(body, f"{name}: ")
        case tree.ModelDefinition(role=role, name=ident, body=body):
            name = f"{at}model {role.text}: {ident.text}"
            yield name
            yield from _lines(body, f"{name}: ")
        case tree.Deck() | tree.Declaration():
            yield from _machinery(statement, at)


def _machinery(statement: tree.Deck | tree.Declaration, at: str) -> Iterator[str]:
    match statement:
        case tree.Deck(name=ident, aperture=aperture, shape=shape, body=body):
            name = f"{at}deck {ident.text}"
            yield f"{name} {expression(aperture)}" + (f" {shape.text}" if shape else "")
            yield from _lines(body, f"{name}: ")
        case tree.Declaration(kind=kind, name=ident, of=of, arguments=arguments, body=body):
            name = f"{at}{kind.text} {ident.text}"
            yield name if of is None else f"{name}: {of.dotted}"
            for argument in arguments:
                yield f"{name}: ({argument.name.text}) {expression(argument.value)}"
            yield from _lines(body, f"{name}: ")


def _parameters(given: tuple[tree.Parameter, ...]) -> str:
    return ", ".join(f"{one.name.text}: {parameter(one)}" for one in given)
