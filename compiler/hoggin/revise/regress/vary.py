"""The values of a grid or of a site put into a plant: on its tree, not in its text.

Names are those of `syntax.settings`; but for a section's parameters, what is varied is stated.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from hoggin.check.loader import Read
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.families.names import E0201
from hoggin.diagnostics.families.text import E0101
from hoggin.diagnostics.families.values import E0302
from hoggin.diagnostics.fault import Fault
from hoggin.diagnostics.source import Source, Span
from hoggin.revise.regress.varied import CASE, Cell, Varied
from hoggin.schema.units import NUMBER, Dimension, describe, units_of, written_unit
from hoggin.syntax import tree
from hoggin.syntax.given import one_let
from hoggin.syntax.parser import parse
from hoggin.syntax.settings import Setting, Statements, stated, with_settings
from hoggin.syntax.walk import mapped
from hoggin.world import UnreadableError, read_text


def reader(varied: Sequence[Varied], main: str) -> Read:
    """A reader that parses, and puts the values into the source of this name. Which case of the
    plant is taken is not its business."""

    def read(source: Source, diagnostics: Diagnostics) -> tree.File:
        file = parse(source, diagnostics)
        if source.name != main:
            return file
        statements = file.statements
        for one in (v for v in varied if v.name != CASE):
            value = _value(one, diagnostics)
            if value is not None:
                statements = _put(statements, one.name, value, diagnostics)
        return replace(file, statements=statements)

    return read


def missing(plant: Path, name: str) -> str:
    """Why a name can't be varied in a plant's file, with what may be meant; "" where it can, or
    where the file can't be read, which its own case says."""
    try:
        statements = parse(Source("", read_text(plant)), Diagnostics()).statements
    except UnreadableError:
        return ""
    fault = _lacking(statements, name)
    return "" if fault is None else ". ".join(filter(None, (fault.message, fault.help)))


def _value(one: Varied, diagnostics: Diagnostics) -> tree.Let | None:
    """The value as a `let` of its own, placed where it is stated: on a line of the settings file,
    or in a cell of a table."""
    text = f"let {one.name.rpartition('.')[2]} = {one.value}\n"
    source = Source(one.file, "\n" * (one.line - 1) + text)
    place = Span(source, one.line - 1, len(source.text) - 1)
    found = Diagnostics()
    let = one_let(source, found)
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
    moved = mapped(let, lambda node: replace(node, span=place))
    return replace(moved, name=replace(moved.name, span=heading))


def _table(file: str, *cells: Cell) -> Source:
    """As much of a table as these cells need, each in its line."""
    lines = [""] * max(cell.line for cell in cells)
    for cell in cells:
        lines[cell.line - 1] = cell.text
    return Source(file, "\n".join(lines) + "\n")


def _span(source: Source, cell: Cell) -> Span:
    start = source.offset(cell.line, cell.column)
    return Span(source, start, min(start + cell.length, len(source.text)))


def _put(
    statements: Statements, name: str, value: tree.Let, diagnostics: Diagnostics
) -> Statements:
    lacking = _lacking(statements, name)
    if lacking is not None:
        diagnostics.report(lacking, value.name.span)
        return statements
    if "." not in name:
        was, now = _dimension(dict(stated(statements))[name]), _dimension(value.value)
        if was is not None and now is not None and was != now:
            # a fault of the value, and not of the places where the `let` is used
            fault = E0302.other_kind(f"`{name}`", describe(was), describe(now), units_of(was))
            diagnostics.report(fault, value.value.span)
            return statements
    setting = Setting(name, value.value, value.value, value.name)
    return with_settings(statements, [setting])[0]


def _lacking(statements: Statements, name: str) -> Fault | None:
    """Why there is nothing of this name to vary; None where there is. A section need not state a
    parameter, which then rests on its default."""
    known = [one for one, _ in stated(statements)]
    owner, dot, part = name.rpartition(".")
    if name in known or owner in _sections(statements):
        return None
    if not dot:
        return E0201.no_let_to_vary(name, (one for one in known if "." not in one))
    parts = (one.partition(".") for one in known)
    return E0201.no_fact_to_vary(owner, part, [inner for head, _, inner in parts if head == owner])


def _sections(statements: Iterable[tree.Statement]) -> Iterator[str]:
    for statement in statements:
        if isinstance(statement, tree.PlantDefinition):
            yield from _sections(statement.body)
        elif isinstance(statement, tree.Declaration) and statement.kind.text == "section":
            yield statement.name.text


def _dimension(value: tree.Expression) -> Dimension | None:
    """That of a quantity written with its unit, or of a bare number."""
    match value:
        case tree.Measure(unit=name):
            unit = written_unit(name)
            return None if unit is None else unit.dimension
        case tree.Number():
            return NUMBER
    return None
