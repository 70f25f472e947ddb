"""The values of a grid or of a site put into a plant: on its tree, not in its text.

A plain name is that of a `let` in the plant's file. A dotted one, `tertiary.css`, is a parameter of
a section, the geometry of a machine, or a fact stated in the block of either or of a feed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

from hoggin.check.loader import Read
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.families.names import E0201
from hoggin.diagnostics.families.text import E0101
from hoggin.diagnostics.families.values import E0302
from hoggin.diagnostics.source import Source, Span
from hoggin.revise.regress.varied import Cell, Varied
from hoggin.schema.units import NUMBER, UNITS, Dimension, describe, units_of
from hoggin.syntax import tree
from hoggin.syntax.parser import parse
from hoggin.world import UnreadableError, read_text


def reader(varied: Sequence[Varied], main: str) -> Read:
    """A reader that parses, and puts the values into the source of this name."""

    def read(source: Source, diagnostics: Diagnostics) -> tree.File:
        file = parse(source, diagnostics)
        if source.name != main:
            return file
        statements = file.statements
        for one in varied:
            value = _value(one, diagnostics)
            if value is not None:
                statements = _put(statements, one.name, value, diagnostics)
        return replace(file, statements=statements)

    return read


def missing(plant: Path, name: str) -> str:
    """Why a name can't be varied in a plant's file, with what may be meant; "" where it can, or
    where the file can't be read, which its own case says."""
    found = Diagnostics()
    try:
        statements = parse(Source("", read_text(plant)), Diagnostics()).statements
    except UnreadableError:
        return ""
    let = _parsed_let(Source("", "let x = 1\n"), found)
    if let is not None:
        _put(statements, name, let, found)
    lacking = [one for one in found if one.code == "E0201"]
    return ". ".join(part for one in lacking for part in (one.message, one.help) if part)


def _value(one: Varied, diagnostics: Diagnostics) -> tree.Let | None:
    """The value as a `let` of its own, placed where it is stated: on a line of the settings file,
    or in a cell of a table."""
    text = f"let {one.name.rpartition('.')[2]} = {one.value}\n"
    source = Source(one.file, "\n" * (one.line - 1) + text)
    place = Span(source, one.line - 1, len(source.text) - 1)
    found = Diagnostics()
    let = _parsed_let(source, found)
    if let is None and not found.has_errors:
        found.report(E0101.not_one_value(one.value), place)
    if one.cell is None or one.heading is None:
        diagnostics.extend(found)
        return let
    table = _table(one.file, one.heading, one.cell)
    place, heading = _span(table, one.cell), _span(table, one.heading)
    diagnostics.extend(replace(fault, span=place, notes=()) for fault in found)
    if let is None:
        return None
    moved: tree.Let = _moved(let, place)
    return replace(moved, name=replace(moved.name, span=heading))


def _parsed_let(source: Source, diagnostics: Diagnostics) -> tree.Let | None:
    """The `let` that a text is; None where it is not one statement without a fault."""
    match parse(source, diagnostics).statements:
        case (tree.Let() as let,) if not diagnostics.has_errors:
            return let
    return None


def _table(file: str, *cells: Cell) -> Source:
    """As much of a table as these cells need, each in its line."""
    lines = [""] * max(cell.line for cell in cells)
    for cell in cells:
        lines[cell.line - 1] = cell.text
    return Source(file, "\n".join(lines) + "\n")


def _span(source: Source, cell: Cell) -> Span:
    start = source.offset(cell.line, cell.column)
    return Span(source, start, min(start + cell.length, len(source.text)))


def _moved(part: Any, place: Span) -> Any:
    """A part of the tree with all its spans at one place."""
    if isinstance(part, Span):
        return place
    if isinstance(part, tuple):
        return tuple(_moved(one, place) for one in part)
    if isinstance(part, tree.Node):
        changed = {one.name: _moved(getattr(part, one.name), place) for one in fields(part)}
        return replace(part, **changed)
    return part


def _put(
    statements: tuple[tree.Statement, ...], name: str, value: tree.Let, diagnostics: Diagnostics
) -> tuple[tree.Statement, ...]:
    owner, dot, part = name.rpartition(".")
    put = _PutInto(owner, part, value) if dot else _PutLet(part, value)
    changed = put.into(statements)
    if not put.done:
        diagnostics.report(put.missing(), value.name.span)
    elif isinstance(put, _PutLet):
        was, now = _dimension(put.before), _dimension(value.value)
        if was is not None and now is not None and was != now:
            # a fault of the value, and not of the places where the `let` is used
            kinds = describe(was), describe(now)
            fault = E0302.other_kind(f"`{part}`", *kinds, units_of(was))
            diagnostics.report(fault, value.value.span)
            return statements
    return changed


def _dimension(value: tree.Expression | None) -> Dimension | None:
    """That of a quantity written with its unit, or of a bare number."""
    match value:
        case tree.Measure(unit=unit) if unit in UNITS:
            return UNITS[unit].dimension
        case tree.Number():
            return NUMBER
    return None


class _PutLet:
    """Replaces the value of a `let` of the file or of its plant."""

    def __init__(self, name: str, value: tree.Let) -> None:
        self._name = name
        self._value = value
        self.done = False
        self.known: set[str] = set()
        self.before: tree.Expression | None = None  # its value

    def missing(self) -> E0201:
        return E0201.no_let_to_vary(self._name, self.known)

    def into(self, statements: tuple[tree.Statement, ...]) -> tuple[tree.Statement, ...]:
        return tuple(map(self._one, statements))

    def _one(self, statement: tree.Statement) -> tree.Statement:
        if isinstance(statement, tree.PlantDefinition):
            return replace(statement, body=self.into(statement.body))
        if not isinstance(statement, tree.Let):
            return statement
        self.known.add(statement.name.text)
        if statement.name.text != self._name:
            return statement
        self.done = True
        self.before = statement.value
        return replace(statement, value=self._value.value)


class _PutInto:
    """Replaces a parameter or fact of what the plant declares; a section's parameter that rests on
    its default is added."""

    def __init__(self, owner: str, part: str, value: tree.Let) -> None:
        self._owner = owner
        self._part = part
        self._value = value
        self.done = False
        self.known: set[str] = set()

    def missing(self) -> E0201:
        return E0201.no_fact_to_vary(self._owner, self._part, self.known)

    def into(self, statements: tuple[tree.Statement, ...]) -> tuple[tree.Statement, ...]:
        return tuple(map(self._one, statements))

    def _one(self, statement: tree.Statement) -> tree.Statement:
        if isinstance(statement, tree.PlantDefinition):
            return replace(statement, body=self.into(statement.body))
        if not isinstance(statement, tree.Declaration) or statement.name.text != self._owner:
            return statement
        arguments = tuple(map(self._argument, statement.arguments))
        body = tuple(map(self._fact, statement.body))
        if not self.done and statement.kind.text == "section":
            self.done = True
            name = self._value.name
            arguments = (*arguments, tree.Argument(self._value.span, name, self._value.value))
        return replace(statement, arguments=arguments, body=body)

    def _argument(self, argument: tree.Argument) -> tree.Argument:
        self.known.add(argument.name.text)
        if argument.name.text != self._part:
            return argument
        self.done = True
        return replace(argument, value=self._value.value)

    def _fact(self, statement: tree.Statement) -> tree.Statement:
        if not isinstance(statement, tree.Fact) or statement.value is None:
            return statement
        self.known.add(statement.name.text)
        if statement.name.text != self._part:
            return statement
        self.done = True
        return replace(statement, value=self._value.value)
