"""Cells of cases, however they are given: by a frame, mappings, a CSV file or a workbook.

Each cell knows its place, so that what is wrong in it can be found.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from hoggin.errors import HogginError

_MOST_FAULTS = 100
_NUMBER = re.compile(
    r"(?P<number>[+-]?[0-9.,][0-9.,'’ \u00a0\u2009\u202f]*)"
    r"(?P<unit>(?![eE][0-9])[A-Za-zµ%][\w/%^]*)?"
)
_DOUBTFUL = re.compile(r"this may be (\S+) or (\S+)")


@dataclass(frozen=True, slots=True)
class Given:
    """A cell: a number, or a text. place: `cases.csv:3:7`, `cases.xlsx:B7`, `case 3`."""

    value: Any
    place: str
    fault: str = ""  # what keeps it from being read at all


def shown(cell: Given) -> str:
    """A cell's content as a reader has it."""
    return f"{cell.value:.12g}" if isinstance(cell.value, float) else str(cell.value)


@dataclass(frozen=True)
class GivenColumn:
    heading: str
    place: str  # of the heading; "" where it has none
    cells: tuple[Given, ...]


@dataclass
class Faults:
    """Everything wrong with the cases, to be reported at once."""

    found: list[tuple[str, str]] = field(default_factory=list)

    def add(self, place: str, fault: HogginError | str) -> None:
        self.found.append((place, f"{place}: {fault}" if place else str(fault)))

    def hold(self) -> None:
        """Raise HogginError where there are any, in the order of their rows."""
        lines = [text for _, text in sorted(self.found, key=_in_order)]
        more = len(lines) - _MOST_FAULTS
        if lines:
            told = [f"and {more} more"] if more > 0 else []
            raise HogginError("\n".join([*lines[:_MOST_FAULTS], *told]))


def _in_order(fault: tuple[str, str]) -> list[int]:
    """The numbers in its place: of a row first, then of a column."""
    return [int(digits) for digits in re.findall("[0-9]+", fault[0])]


@dataclass(frozen=True)
class GivenCases:
    """columns: as given. places: of the rows."""

    columns: tuple[GivenColumn, ...]
    places: tuple[str, ...]


def given_cases(cases: Any, faults: Faults) -> GivenCases:
    """cases: a frame, a mapping of columns, mappings by row, or the path of a file. Faults of
    single cells are added to `faults`. Raises HogginError where there is nothing to read."""
    if isinstance(cases, str | Path):
        return _of_file(str(cases), faults)
    if isinstance(cases, Mapping):
        cells = {str(heading): list(column) for heading, column in cases.items()}
    elif hasattr(cases, "columns"):  # a frame of pandas or polars
        cells = {str(heading): list(cases[heading]) for heading in cases.columns}
    else:
        cells = _of_mappings(list(cases))
    lengths = {len(column) for column in cells.values()}
    if len(lengths) > 1:
        raise HogginError("the columns of a study differ in length")
    places = tuple(f"case {number}" for number in range(1, max(lengths, default=0) + 1))
    columns = (
        GivenColumn(heading, "", tuple(map(Given, column, places)))
        for heading, column in cells.items()
    )
    return GivenCases(tuple(columns), places)


def _of_mappings(rows: Sequence[Mapping[str, Any]]) -> dict[str, list[Any]]:
    headings = list(rows[0]) if rows else []
    for number, row in enumerate(rows, 1):
        if set(row) != set(headings):
            raise HogginError(f"case {number} has other settings than case 1")
    return {str(heading): [row[heading] for row in rows] for heading in headings}


# -- files ---------------------------------------------------------------------------------------


def _of_file(path: str, faults: Faults) -> GivenCases:
    """The first row that is not empty has the headings; each row below it is a case."""
    rows = [row for row in _rows_of(path) if any(cell.value or cell.fault for cell in row)]
    if not rows:
        return GivenCases((), ())
    headings, *below = rows
    places = tuple(row[0].place.removesuffix(":1") for row in below)
    columns = []
    for number, heading in enumerate(headings):
        cells = tuple(
            row[number] if number < len(row) else Given("", place)
            for row, place in zip(below, places, strict=True)
        )
        if heading.value:
            columns.append(GivenColumn(str(heading.value), heading.place, cells))
            continue
        filled = next((cell for cell in cells if cell.value or cell.fault), None)
        if filled is not None:
            faults.add(heading.place, "this column has no heading")
    for row in below:
        stray = next((cell for cell in row[len(headings) :] if cell.value or cell.fault), None)
        if stray is not None:
            faults.add(stray.place, f"`{shown(stray)}` is to the right of the last heading")
    return GivenCases(tuple(columns), places)


def _rows_of(written: str) -> list[tuple[Given, ...]]:
    from hoggin.intake.comma_separated import read_records
    from hoggin.intake.numbers import decimal_sign
    from hoggin.intake.opening import open_sheet, split
    from hoggin.world import named, read_bytes

    path, _ = split(written)
    if path.suffix.lower() == ".xlsx":
        _, sheet = open_sheet(written, lambda sheet: len(sheet.rows) > 1)
        title = f"{path}:{sheet.title}" if written != str(path) else str(path)
        return [tuple(_of_sheet(cell, title) for cell in row) for row in sheet.rows]
    with named(path):
        data = read_bytes(path)
    records = read_records(str(path), data)
    found = (_NUMBER.fullmatch(cell.text) for row in records.rows for cell in row)
    sign = decimal_sign(one["number"] for one in found if one is not None)
    if not sign and records.has_decimal_commas:
        sign = "?"  # from a country where `1.200` may be twelve hundred
    return [
        tuple(_of_text(cell.text, f"{path}:{cell.line}:{cell.column}", sign) for cell in row)
        for row in records.rows
    ]


def _of_sheet(cell: Any, title: str) -> Given:
    """A cell of a workbook: its numbers have no decimal sign to be guessed."""
    place = f"{title}:{cell.place}"
    if cell.fault or cell.is_date:
        return Given(cell.text, place, cell.fault or "the cell is a date")
    if cell.is_percent:
        return Given(f"{repr(cell.number).removesuffix('.0')} %", place)
    return Given(cell.text if cell.number is None else cell.number, place)


def _of_text(text: str, place: str, sign: str) -> Given:
    """A cell of a CSV file, whose numbers have this decimal sign: "" if none shows it, "?" if they
    have both."""
    from hoggin.intake.numbers import as_number
    from hoggin.intake.sheet import SheetError

    found = _NUMBER.fullmatch(text)
    if found is None:
        return Given(_plain(text), place)
    try:
        number = as_number(found["number"], sign)
    except SheetError as fault:
        doubt = _DOUBTFUL.match(str(fault))
        if doubt is None:
            return Given(text, place, f"`{text}`: {fault}; {fault.help}")
        why = f"`{text}` may be {doubt[1]} or {doubt[2]}: write `{doubt[1]}` or `{doubt[2]}0`"
        return Given(text, place, why)
    if found["unit"] is None:
        return Given(number, place)
    return Given(f"{repr(number).removesuffix('.0')} {found['unit']}", place)


def _plain(text: str) -> float | str:
    """A number in a form of its own, as 1e-3; else the text."""
    try:
        return float(text)
    except ValueError:
        return text
