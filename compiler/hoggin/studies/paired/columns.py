"""What the cells of cases say: settings with their values, names of the rows, cases of the plant.

Every fault is reported at once, each with its place.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from hoggin.check.values import Quantity
from hoggin.diagnostics.suggest import did_you_mean
from hoggin.errors import HogginError
from hoggin.schema.units import NUMBER, Dimension, Unit, describe, in_unit, unit_of, written_unit
from hoggin.studies.paired.cells import Faults, Given, GivenColumn, given_cases, shown
from hoggin.studies.runner.rows import RowColumn
from hoggin.studies.runner.values import Stated, quantity, written

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    import pandas as pd
    import polars as pl
    from numpy.typing import NDArray

    Cases = (
        pd.DataFrame
        | pl.DataFrame
        | Mapping[str, Sequence[Any] | NDArray[Any]]
        | Sequence[Mapping[str, Any]]
        | str
        | Path
    )

LABELS = ("name", "note")
CASE = "case"
"""Headings of columns that set nothing, and of the one that says which case of the plant it is."""
_HEADING = re.compile(r"(?P<name>[A-Za-z_][\w.]*)(?:\s*[(\[](?P<unit>[^()\[\]]+)[)\]])?")
_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]")


@dataclass(frozen=True)
class CaseTable:
    """The rows of a study. given: the names of its columns in their order. labels: the heading and
    texts of columns that set nothing. cases: the plant's case of each row, "" as it is written;
    empty if no column has them. places: of rows."""

    given: tuple[str, ...]
    columns: tuple[RowColumn, ...]
    labels: tuple[tuple[str, tuple[str, ...]], ...]
    cases: tuple[str, ...]
    places: tuple[str, ...]

    @property
    def rows(self) -> int:
        return len(self.places)


def case_table(cases: Any, stated: Stated, known_cases: Sequence[str]) -> CaseTable:
    """known_cases: those of the plant. Raises HogginError where the cases can't be read, with every
    fault on a line of its own."""
    faults = Faults()
    given = given_cases(cases, faults)
    if not given.columns or not given.places:
        faults.hold()
        raise HogginError("there are no cases: give a row for each, with a column for each setting")
    columns: list[RowColumn] = []
    labels: list[tuple[str, tuple[str, ...]]] = []
    named: tuple[str, ...] = ()
    seen: dict[str, None] = {}
    for column in given.columns:
        try:
            name, unit = _headed(column.heading, stated)
        except HogginError as fault:
            faults.add(column.place, fault)
            continue
        if name in seen:
            faults.add(column.place, f"`{name}` has two columns")
            continue
        seen[name] = None
        if name in (*LABELS, CASE):
            labels.append((name, tuple(_label(cell, faults) for cell in column.cells)))
            if name == CASE:
                named = labels[-1][1]
                _check_cases(column, named, known_cases, faults)
        else:
            columns.append(_column(name, unit, column, stated, faults))
    faults.hold()
    if not columns and not named:
        raise HogginError("the cases set nothing: head a column with a setting's name, or `case`")
    return CaseTable(tuple(seen), tuple(columns), tuple(labels), named, given.places)


def _label(cell: Given, faults: Faults) -> str:
    if cell.fault and not cell.value:
        faults.add(cell.place, cell.fault)
    return shown(cell)


def _check_cases(
    column: GivenColumn, named: Sequence[str], known_cases: Sequence[str], faults: Faults
) -> None:
    for cell, name in zip(column.cells, named, strict=True):
        if name and name not in known_cases:
            known = did_you_mean(name, list(known_cases)) if known_cases else "it states no cases"
            hint = f"{known}. a column headed `name` names the rows".strip(". ")
            faults.add(cell.place, f"the plant has no case `{name}`. {hint}")


def _headed(heading: str, stated: Stated) -> tuple[str, Unit | None]:
    """A column's setting, and the unit of its numbers. Raises HogginError."""
    if heading.strip() in (*LABELS, CASE):
        return heading.strip(), None
    found = _HEADING.fullmatch(heading.strip())
    if found is None:
        raise HogginError(
            f"`{heading}`: a column is headed by a setting's name, as `cone.css` or `cone.css (mm)`"
        )
    name, sign = found["name"], found["unit"]
    stated.require(name)
    own = stated.quantity(name)
    if sign is None:
        return name, None if own is None else unit_of(own.written_in, own.dimension)
    unit = written_unit(sign)
    if unit is None:
        raise HogginError(f"`{heading}`: `{sign}` is not a unit")
    if own is not None and _clash(own.dimension, unit.dimension):
        raise HogginError(
            f"`{heading}`: `{name}` is {describe(own.dimension)}, not {describe(unit.dimension)}"
        )
    return name, unit


def _column(
    name: str, unit: Unit | None, column: GivenColumn, stated: Stated, faults: Faults
) -> RowColumn:
    """The faults of its cells are added to `faults`."""
    own = stated.quantity(name)
    dimension = unit.dimension if unit else own.dimension if own else None
    known: dict[Any, tuple[str, Quantity | None] | HogginError] = {}
    found: list[tuple[str, Quantity | None]] = []
    for cell in column.cells:
        if cell.fault:
            faults.add(cell.place, f"`{name}`: {cell.fault}")
            continue
        if cell.value not in known:
            known[cell.value] = _tried(name, cell.value, unit, stated)
        read = known[cell.value]
        if isinstance(read, HogginError):
            faults.add(cell.place, read)
            continue
        text, value = read
        found.append(read)
        if value is None:
            continue
        dimension = dimension or value.dimension
        if _clash(dimension, value.dimension):
            kinds = f"{describe(dimension)}, not {describe(value.dimension)}"
            faults.add(cell.place, f"`{name}` is {kinds}: `{text}`")
    texts = tuple(text for text, _ in found)
    quantities = [value for _, value in found if value is not None]
    if not quantities or len(quantities) < len(found):
        return RowColumn(name, texts, None, None)
    first = quantities[0]
    unit = unit or unit_of(first.written_in, first.dimension)
    if unit is None or any(one.dimension != unit.dimension for one in quantities):
        return RowColumn(name, texts, None, None)
    return RowColumn(name, texts, unit, tuple(in_unit(one.si, unit) for one in quantities))


def _clash(one: Dimension, other: Dimension) -> bool:
    """Whether a value can't take the other's place. A share may become a tonnage, and a tonnage a
    share: whether it may here is for the checker to say."""
    return one != other and NUMBER not in (one, other)


def _tried(
    name: str, value: object, unit: Unit | None, stated: Stated
) -> tuple[str, Quantity | None] | HogginError:
    try:
        return _read(name, value, unit, stated)
    except HogginError as fault:
        return fault


def _read(
    name: str, cell: object, unit: Unit | None, stated: Stated
) -> tuple[str, Quantity | None]:
    """A cell as the language has it, and what it is worth; None for a word. Raises HogginError."""
    if isinstance(cell, str):
        text = " ".join(cell.split())
        if not text:
            raise HogginError(f"`{name}`: the cell is empty")
        if _COMMA.match(text):
            raise HogginError(f"`{name}`: `{text}` has a comma in its number: write a point")
    else:
        text = written(name, cell, unit or stated.unit(name))
    value = quantity(name, text)
    if value is None and stated.quantity(name) is not None and text not in stated.expressions:
        raise HogginError(f"`{name}`: `{text}` is neither a quantity nor the name of a `let`")
    return text, value
