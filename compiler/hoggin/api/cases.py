"""Cases of a study, however they are given, as columns of cells."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hoggin.api.values import Stated, quantity, written
from hoggin.check.values import Quantity
from hoggin.errors import HogginError
from hoggin.schema.units import Unit, in_unit, unit_of, written_unit

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


def case_columns(cases: Any, stated: Stated) -> tuple[CaseColumn, ...]:
    """Raises HogginError where the cases can't be read."""
    raw = _raw(cases)
    lengths = {len(cells) for cells in raw.values()}
    if not raw or lengths == {0}:
        raise HogginError("there are no cases: give a row for each, with a column for each setting")
    if len(lengths) > 1:
        raise HogginError("the columns of a study are of unlike length")
    columns = tuple(_column(heading, cells, stated) for heading, cells in raw.items())
    names = [one.name for one in columns]
    for name in names:
        if names.count(name) > 1:
            raise HogginError(f"the setting `{name}` has two columns")
    return columns


def _raw(cases: Any) -> dict[str, list[Any]]:
    """Columns of cells by heading."""
    if isinstance(cases, str | Path):
        return _of_file(Path(cases))
    if isinstance(cases, Mapping):
        return {str(heading): list(cells) for heading, cells in cases.items()}
    if hasattr(cases, "columns"):  # a frame of pandas or polars
        return {str(heading): list(cases[heading]) for heading in cases.columns}
    rows = list(cases)
    headings = list(rows[0]) if rows else []
    for number, row in enumerate(rows, 1):
        if set(row) != set(headings):
            raise HogginError(f"case {number} has other settings than case 1")
    return {str(heading): [row[heading] for row in rows] for heading in headings}


def _of_file(path: Path) -> dict[str, list[Any]]:
    from hoggin.intake.comma_separated import read_comma_separated
    from hoggin.world import named, read_bytes

    with named(path):
        data = read_bytes(path)
    sheet = read_comma_separated(path.name, data)
    rows = [[cell.text for cell in row] for row in sheet.rows if any(c.text for c in row)]
    if not rows:
        return {}
    found = {h: [row[place] for row in rows[1:]] for place, h in enumerate(rows[0])}
    if len(found) < len(rows[0]):
        raise HogginError(f"`{path}`: two columns have the same heading")
    return {heading: [_number_or_text(cell) for cell in cells] for heading, cells in found.items()}


def _number_or_text(cell: str) -> float | str:
    try:
        return float(cell)
    except ValueError:
        return cell


def _column(heading: str, cells: Sequence[Any], stated: Stated) -> CaseColumn:
    found = _HEADING.fullmatch(heading.strip())
    if found is None:
        raise HogginError(
            f"`{heading}`: a column is headed by a setting's name, as `cone.css (mm)`"
        )
    name, sign = found["name"], found["unit"]
    if sign is not None and written_unit(sign) is None:
        raise HogginError(f"`{heading}`: `{sign}` is not a unit")
    own = stated.quantity(name)
    unit = written_unit(sign) if sign else None
    if unit is None and own is not None:
        unit = unit_of(own.written_in, own.dimension)
    known: dict[Any, tuple[str, Quantity | None]] = {}
    for cell in dict.fromkeys(cells):
        text = " ".join(cell.split()) if isinstance(cell, str) else None
        if text is None:
            text = written(name, cell, unit or stated.unit(name))
        known[cell] = text, quantity(name, text)
    texts = tuple(known[cell][0] for cell in cells)
    values = [known[cell][1] for cell in cells]
    quantities = [one for one in values if one is not None]
    if len(quantities) < len(values):
        return CaseColumn(name, texts, None, None)
    first = quantities[0]
    unit = unit or unit_of(first.written_in, first.dimension)
    if unit is None or any(one.dimension != unit.dimension for one in quantities):
        raise HogginError(f"`{name}`: its values must all be of the setting's kind of unit")
    numbers = tuple(in_unit(one.si, unit) for one in quantities)
    return CaseColumn(name, texts, unit, numbers)
