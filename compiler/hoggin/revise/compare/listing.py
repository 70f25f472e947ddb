"""Every fact of a file, one per line, sorted: files that state the same have the same listing.

Only the text is read, no library it uses, so this works for a file on its own, as git passes it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from hoggin.check.words import cited, words
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.syntax import tree
from hoggin.syntax.parser import parse
from hoggin.syntax.printer import body_of


def listing(source: Source) -> str | None:
    """The lines, sorted; None if the file can't be read completely, so that no fact is missing."""
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
        case tree.Fact(name=name, entries=entries, source=source) if entries is not None:
            yield from (f"{at}{name.text}: {words(one)}" for one in entries)
            if source is not None:
                yield f"{at}{name.text}: {cited(None, source)}"
        case tree.Series(name=name, entries=entries):
            yield from (f"{at}series {name.text}: {words(one)}" for one in entries)
        case tree.Route(endpoints=ends):
            for start, end in pairwise(ends):
                yield f"{at}route {words(start)} -> {words(end)}"
        case tree.Declaration(of=of, arguments=arguments, body=body):
            name_of = f"{at}{_name(statement)}"
            yield name_of if of is None else f"{name_of}: {of.dotted}"
            for given in arguments:
                yield f"{name_of}: ({given.name.text}) {words(given.value)}"
            yield from _lines(body, f"{name_of}: ")
        case _:
            yield f"{at}{words(statement)}"
            yield from _lines(body_of(statement) or (), f"{at}{_name(statement)}: ")


def _name(statement: tree.Statement) -> str:
    """What the lines of a block are led by."""
    match statement:
        case tree.PlantDefinition():
            return "plant"
        case tree.ClassDefinition(kind=kind, name=name):
            return f"class {kind.text} {name.text}"
        case tree.TemplateDefinition(name=name):
            return f"template {name.text}"
        case tree.Declaration(kind=kind, name=name):
            return f"{kind.text} {name.text}"
        case tree.Deck(name=name):
            return f"deck {name.text}"
        case tree.Operation():
            return "operation"
        case tree.Project():
            return "project"
    return words(statement)
