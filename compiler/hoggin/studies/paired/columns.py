"""Rows of settings, however they are given, as columns of cells.

Every fault is reported at once, each with its place: the row of a frame, the line of a file.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hoggin.check.values import Quantity
from hoggin.errors import HogginError
from hoggin.schema.units import NUMBER, Dimension, Unit, describe, in_unit, unit_of, written_unit
from hoggin.studies.paired.values import Stated, quantity, written

if TYPE_CHECKING:
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

_HEADING = re.compile(r"(?P<name>[A-Za-z_][\w.]*)(?:\s*\((?P<unit>[^()]+)\))?")
_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]")
_MOST_FAULTS = 20


@dataclass(frozen=True)
class CaseColumn:
    """A setting's values, one a case. `texts` are of the language; `numbers` are the same in `unit`
    where all are quantities, else None."""

    name: str
    texts: tuple[str, ...]
    unit: Unit | None
    numbers: tuple[float, ...] | None

    @cached_property
    def si(self) -> tuple[float, ...]:
        assert self.unit is not None and self.numbers is not None
        return tuple(number * self.unit.size for number in self.numbers)


@dataclass(frozen=True)
class _Rows:
    """Cells by heading, and the places to blame: of the headings, and of each row."""

    cells: Mapping[str, list[Any]]
    head: str
    places: Sequence[str]


@dataclass
class _Faults:
    """Faults by row, those of the headings before the first."""

    rows: _Rows
    found: list[tuple[int, str]] = field(default_factory=list)

    def add(self, row: int | None, fault: HogginError | str) -> None:
        place = self.rows.head if row is None else f"{self.rows.places[row]}: "
        self.found.append((-1 if row is None else row, f"{place}{fault}"))

    def hold(self) -> None:
        """Raise HogginError where there are any."""
        lines = [text for _, text in sorted(self.found, key=lambda one: one[0])]
        more = len(lines) - _MOST_FAULTS
        if lines:
            told = [f"and {more} more"] if more > 0 else []
            raise HogginError("\n".join([*lines[:_MOST_FAULTS], *told]))


def case_columns(cases: Any, stated: Stated) -> tuple[CaseColumn, ...]:
    """Raises HogginError where the cases can't be read, with every fault on a line of its own."""
    rows = _rows(cases)
    if not rows.cells or not rows.places:
        raise HogginError("there are no cases: give a row for each, with a column for each setting")
    faults = _Faults(rows)
    columns: list[CaseColumn] = []
    for heading, cells in rows.cells.items():
        try:
            name, unit = _headed(heading, stated)
        except HogginError as fault:
            faults.add(None, fault)
            continue
        if name in {one.name for one in columns}:
            faults.add(None, f"the setting `{name}` has two columns")
            continue
        columns.append(_column(name, unit, cells, stated, faults))
    faults.hold()
    return tuple(columns)


# -- where the cells come from ------------------------------------------------------------------


def _rows(cases: Any) -> _Rows:
    if isinstance(cases, str | Path):
        return _of_file(Path(cases))
    if isinstance(cases, Mapping):
        cells = {str(heading): list(column) for heading, column in cases.items()}
    elif hasattr(cases, "columns"):  # a frame of pandas or polars
        cells = {str(heading): list(cases[heading]) for heading in cases.columns}
    else:
        cells = _of_mappings(list(cases))
    lengths = {len(column) for column in cells.values()}
    if len(lengths) > 1:
        raise HogginError("the columns of a study are of unlike length")
    return _Rows(cells, "", [f"case {number}" for number in range(1, max(lengths, default=0) + 1)])


def _of_mappings(rows: Sequence[Mapping[str, Any]]) -> dict[str, list[Any]]:
    headings = list(rows[0]) if rows else []
    for number, row in enumerate(rows, 1):
        if set(row) != set(headings):
            raise HogginError(f"case {number} has other settings than case 1")
    return {str(heading): [row[heading] for row in rows] for heading in headings}


def _of_file(path: Path) -> _Rows:
    """The first line that is not empty holds the headings; each line below it is a row."""
    from hoggin.intake.comma_separated import read_lines
    from hoggin.world import named, read_bytes

    with named(path):
        data = read_bytes(path)
    lines = [(line, cells) for line, cells in read_lines(str(path), data) if any(cells)]
    if not lines:
        return _Rows({}, "", ())
    (first, headings), *rows = lines
    head = f"{path}:{first}: "
    for heading in headings:
        if headings.count(heading) > 1:
            raise HogginError(f"{head}two columns are headed `{heading}`")
    for line, cells in rows:
        if len(cells) != len(headings):
            raise HogginError(
                f"{path}:{line}: cells and headings are not as many: {len(cells)} and "
                f"{len(headings)}"
            )
    columns = {
        heading: [_number_or_text(cells[place]) for _, cells in rows]
        for place, heading in enumerate(headings)
    }
    return _Rows(columns, head, [f"{path}:{line}" for line, _ in rows])


def _number_or_text(cell: str) -> float | str:
    try:
        return float(cell)
    except ValueError:
        return cell


# -- what they say ------------------------------------------------------------------------------


def _headed(heading: str, stated: Stated) -> tuple[str, Unit | None]:
    """A column's setting, and the unit of its numbers. Raises HogginError."""
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
    name: str,
    unit: Unit | None,
    cells: Sequence[Any],
    stated: Stated,
    faults: _Faults,
) -> CaseColumn:
    """The faults of its cells are added to `faults`."""
    own = stated.quantity(name)
    dimension = unit.dimension if unit else own.dimension if own else None
    known: dict[Any, tuple[str, Quantity | None]] = {}
    for row, cell in enumerate(cells):
        if cell in known:
            continue
        try:
            known[cell] = _read(name, cell, unit, stated)
        except HogginError as fault:
            faults.add(row, fault)
            known[cell] = "", None
            continue
        value = known[cell][1]
        if value is None:
            continue
        dimension = dimension or value.dimension
        if _clash(dimension, value.dimension):
            kinds = f"{describe(dimension)}, not {describe(value.dimension)}"
            faults.add(row, f"`{name}` is {kinds}: `{known[cell][0]}`")
    texts = tuple(known[cell][0] for cell in cells)
    quantities = [one for cell in cells if (one := known[cell][1]) is not None]
    if len(quantities) < len(cells):
        return CaseColumn(name, texts, None, None)
    first = quantities[0]
    unit = unit or unit_of(first.written_in, first.dimension)
    if unit is None or any(one.dimension != unit.dimension for one in quantities):
        return CaseColumn(name, texts, None, None)
    return CaseColumn(name, texts, unit, tuple(in_unit(one.si, unit) for one in quantities))


def _clash(one: Dimension, other: Dimension) -> bool:
    """Whether a value can't take the other's place. A share may become a tonnage, and a tonnage a
    share: whether it may here is for the checker to say."""
    return one != other and NUMBER not in (one, other)


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
