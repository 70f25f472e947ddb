"""Proposals for the lines of a case, and for names of cases."""

from __future__ import annotations

from collections.abc import Iterator

from hoggin.check.words import words
from hoggin.editor.asking import Asking, Item
from hoggin.editor.proposing import facts
from hoggin.schema.facts import facts_of
from hoggin.syntax import tree
from hoggin.syntax.cases import YEAR_OF_PLANT, as_written, cases_of, plant_of
from hoggin.syntax.settings import stated


def case_lines(asking: Asking) -> Iterator[Item]:
    """The facts of the file, each with its value to change; after a dot, those of the thing before
    it."""
    path = asking.cursor.path
    plant = plant_of(asking.snapshot.file.statements)
    if path is None:
        yield from facts(asking.cursor, facts_of("case").values())
        yield from _options(plant)
    before = "".join(f"{part}." for part in path or ())
    for name, value in stated(asking.snapshot.file.statements):
        if name == YEAR_OF_PLANT:
            continue  # a case states its own `hours`
        if name.startswith(before) and not isinstance(value, tree.Text):
            label, said = name.removeprefix(before), words(value)
            yield Item(label, "property", f"{said} as written", f"{label} {said}", said)


def _options(plant: tree.PlantDefinition | None) -> Iterator[Item]:
    for statement in as_written(plant.body) if plant is not None else ():
        if isinstance(statement, tree.Choose):
            for option in statement.body:
                if isinstance(option, tree.Option):
                    yield Item(f"{statement.name.text} {option.name.text}", "enumMember", "option")


def cases_named(asking: Asking) -> Iterator[Item]:
    """The plant's cases, except the one that is being written."""
    plant = plant_of(asking.snapshot.file.statements)
    line = asking.cursor.line
    own = line[1].text if line[0].kind == "CASE" and len(line) > 1 else ""
    for name in cases_of(plant) if plant is not None else ():
        if name != own:
            yield Item(name, "variable", "case")


def begun_from(asking: Asking) -> Iterator[Item]:
    """After `case NAME:`."""
    if [token.kind for token in asking.cursor.line[1:]] == ["NAME", "COLON"]:
        yield from cases_named(asking)
