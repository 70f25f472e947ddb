"""Columns of results, with how each is read and shown: heading, unit and figures are those of the
schema. A column that is not a result names the kind of number that it holds."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from pydantic import BaseModel

from hoggin.report.tables import Column, Table, Value
from hoggin.schema import figures
from hoggin.schema.declared import declared
from hoggin.schema.figures import Figures
from hoggin.schema.results import Listed, MachineResult

Kind = Literal["rate", "percent", "number", "count", "price", "estimate", "stated"]
_FIGURES: Mapping[Kind, Figures] = {
    "rate": figures.RATE,
    "percent": figures.PERCENT,
    "number": figures.NUMBER,
    "count": figures.COUNT,
    "price": figures.MONEY,
    "estimate": figures.ESTIMATE,
    "stated": figures.STATED,
}


@dataclass(frozen=True, slots=True)
class Field:
    """A column of a table of things, and how a thing's cell is read."""

    column: Column
    get: Callable[[Any], Value]


def words(heading: str, get: Callable[[Any], Value], width: int = 24, unit: str = "") -> Field:
    """A column of words."""
    return Field(Column(heading, unit, width=width), get)


def verdict(get: Callable[[Any], Value], width: int = 24, heading: str = "verdict") -> Field:
    """A column of verdicts."""
    return Field(Column(heading, width=width, judges=True), get)


def number(heading: str, unit: str, kind: Kind, get: Callable[[Any], Value]) -> Field:
    """A column of numbers that are not results: sums, counts."""
    return Field(Column(heading, unit, _FIGURES[kind]), get)


def result(
    model: type[BaseModel],
    path: str,
    heading: str = "",
    *,
    unit: str | None = None,
    kind: Kind | None = None,
) -> Field:
    """A result of a part of the document, by its field or the way to it: `wear.life_h`. Without a
    heading it has the schema's label, without a unit the schema's, and without a kind the figures
    of its family."""
    steps = path.split(".")
    one = declared(model, path)
    shown = one.unit if unit is None else unit
    figured = _FIGURES[kind] if kind else one.quantity.family.figures
    return Field(
        Column(heading or one.label, shown, figured),
        lambda thing: _read(thing, steps),
    )


def shown(thing: BaseModel, path: str, kind: Kind | None = None) -> str:
    """A result with its unit, as a table has it: `118.4 t/h`."""
    field = result(type(thing), path, kind=kind)
    return f"{field.column.text(field.get(thing))} {field.column.unit}".strip()


def labelled(thing: BaseModel, path: str, kind: Kind | None = None) -> str:
    """The same with its label: `P80 14.2 mm`."""
    return f"{declared(type(thing), path).label} {shown(thing, path, kind)}"


def results_of(model: type[BaseModel], *paths: str) -> tuple[Field, ...]:
    """Results under the schema's own labels."""
    return tuple(result(model, path) for path in paths)


TAG = words("tag", lambda thing: thing.shown_tag, 20)  # of a feed, machine or product


_SUPPLY = words("supply", lambda machine: "existing" if machine.existing else None, 10)


def supply(machines: Sequence[MachineResult]) -> tuple[Field, ...]:
    """Which of them are not to be bought, where any is not."""
    return tuple(known((_SUPPLY,), machines))


def names(things: Iterable[Listed]) -> tuple[Field, ...]:
    """The names that routes use, where any thing has a tag beside its name."""
    if any(thing.item_tag for thing in things):
        return (words("name", lambda thing: thing.tag, 20),)
    return ()


def quantity(machines: Iterable[MachineResult]) -> tuple[Field, ...]:
    """How many of each there are, where any stands in parallel with equal ones."""
    if all(machine.count == 1 for machine in machines):
        return ()
    return (result(MachineResult, "count", "quantity", kind="count"),)


def second(field: Field) -> Field:
    """The field of the second of a pair."""
    return Field(field.column, lambda pair: field.get(pair[1]))


def table(title: str, fields: Sequence[Field], things: Iterable[Any], keys: int = 1) -> Table:
    """A row for each thing."""
    rows = tuple(tuple(field.get(thing) for field in fields) for thing in things)
    return Table(title, tuple(field.column for field in fields), rows, keys)


def known(fields: Iterable[Field], things: Sequence[Any]) -> list[Field]:
    """The fields that have a value for any of the things."""
    return [field for field in fields if any(field.get(thing) is not None for thing in things)]


def _read(thing: Any, steps: Sequence[str]) -> Value:
    for step in steps:
        thing = getattr(thing, step)
        if thing is None:
            return None
    found: Value = thing
    return found
