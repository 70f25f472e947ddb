"""Where the sieves of a sheet stand: down a column, or across a row of the sheet turned over."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from hoggin.intake.faults import Findings, quoted
from hoggin.intake.headings import is_limit, is_mesh, is_size, label_of
from hoggin.intake.numbers import Decimals, decimals_of
from hoggin.intake.options import Forced
from hoggin.intake.sheet import Cell, Sheet
from hoggin.intake.sieves import Sieve, SieveError, read_sieve, unit_in

_FEWEST = 2
_RANGE = re.compile(r"\s*[0-9.,]+\s*[/–-]\s*[0-9.,]{2,}\s*(?:mm)?\s*|\s*[0-9]\s*/\s*[0-9]\s*")
_NEAR = 4  # filled cells above the first size that may be its heading


@dataclass(frozen=True, slots=True)
class Axis:
    """A column of sieves: its place, and the rows of its first and last one, in the sheet's grid
    from 0."""

    column: int
    first: int
    last: int
    count: int  # of sieves
    is_sure: bool  # a heading says so, or the sizes have units
    unit: str  # that the heading names
    is_mesh: bool = False  # the heading speaks of a mesh, and of no unit


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a sieve, of the pan (mm 0), or of something else that has a label."""

    place: int
    cell: Cell
    sieve: Sieve | None


def decimals(sheet: Sheet, forced: Forced) -> Decimals:
    """The sheet's decimal sign, of the numbers it holds as text."""
    if forced.decimal:
        return Decimals(forced.decimal)
    return decimals_of(cell.text for cell in sheet.cells() if cell.number is None)


def find_axis(sheet: Sheet, forced: Forced, findings: Findings) -> tuple[Sheet, Axis] | None:
    """The sheet with its sieves down a column, turned over where need be, and that column.

    None after a reported fault.
    """
    down = _best(sheet, forced) if forced.sieves != "across" else None
    turned = sheet.turned()
    across = _best(turned, forced) if forced.sieves != "down" else None
    if down is None and across is None:
        findings.fault(
            None,
            "no sieves are found here",
            "give their sizes a heading, as `Sieve (mm)`, or each its unit",
        )
        return None
    if down is not None and across is not None and _rank(down) == _rank(across):
        findings.fault(
            sheet.rows[down.first][down.column],
            "sieves may stand down this column, or across a row",
            "say which with `--sieves down` or `--sieves across`",
        )
        return None
    if down is not None and (across is None or _rank(down) > _rank(across)):
        chosen, axis = sheet, down
    elif across is not None:
        chosen, axis = turned, across
    first = chosen.rows[axis.first][axis.column]
    span = None if axis.is_sure else next(_ranges(sheet), None)
    if span is not None:
        findings.fault(
            span,
            f"{quoted(span.text)}: this names two sizes",
            "a grading needs single sieves, as `4 mm`, and what passes each",
        )
        return None
    if not axis.is_sure:
        findings.note(f"the sizes from cell {first.place} on have no heading: taken for sieves")
    return chosen, axis


def rows_of(sheet: Sheet, axis: Axis, forced: Forced, findings: Findings) -> list[Row]:
    """Every row from the first sieve on that has a label. What can't be read is reported."""
    unit = forced.unit or axis.unit
    sign = decimals(sheet, forced)
    found: list[Row] = []
    bare: list[Row] = []
    for place in range(axis.first, len(sheet.rows)):
        cell = sheet.rows[place][axis.column]
        if cell.is_blank:
            continue
        try:
            sieve = sieve_of(cell, unit, sign)
        except SieveError as fault:
            if found and _is_heading(cell.text) and _goes_on(sheet, axis, place, unit, sign):
                findings.fault(
                    cell,
                    f"{quoted(cell.text)}: a second table begins here",
                    "give each a sheet of its own, or put the samples side by side",
                )
                break
            if (place < axis.last or _is_attempt(cell)) and not label_of(cell.text):
                findings.fault(cell, f"{quoted(cell.text)}: {fault}", fault.mend)
                continue
            found.append(Row(place, cell, None))
            continue
        if sieve.told:
            findings.note(sieve.told)
        found.append(Row(place, cell, sieve))
        if not sieve.has_unit and sieve.mm > 0:
            bare.append(found[-1])
    if bare and not unit and axis.is_mesh:
        findings.fault(
            bare[0].cell,
            f"{quoted(bare[0].cell.text)}: a mesh may be an opening, or a count",
            "say `--unit mm` where these are openings; write a count as `No. 30` of ASTM E11",
        )
    elif bare and not unit:
        _tell_unit(bare, findings)
    return found


def _goes_on(sheet: Sheet, axis: Axis, place: int, unit: str, sign: Decimals) -> bool:
    """Whether a sieve stands in the next rows."""
    for row in sheet.rows[place + 1 : place + 1 + _FEWEST]:
        try:
            if sieve_of(row[axis.column], unit, sign).mm > 0.0:
                return True
        except SieveError:
            continue
    return False


def _ranges(sheet: Sheet) -> Iterator[Cell]:
    """Cells that hold a range of sizes such as 16/31.5, where a column or row has several."""
    for lines in (sheet.turned().rows, sheet.rows):
        for line in lines:
            ranges = [cell for cell in line if cell.number is None and _RANGE.fullmatch(cell.text)]
            if len(ranges) >= _FEWEST:
                yield ranges[0]


def _tell_unit(bare: list[Row], findings: Findings) -> None:
    largest = max(bare, key=lambda row: row.sieve.mm if row.sieve else 0.0)
    if largest.sieve is not None and largest.sieve.mm >= 1000.0:
        findings.fault(
            largest.cell,
            f"{quoted(largest.cell.text)}: no unit is said, and as mm this is no sieve",
            "say it with `--unit um`, or in the heading",
        )
    else:
        findings.note("no unit of the sieves is said: taken for mm")


def sieve_of(cell: Cell, unit: str, sign: Decimals) -> Sieve:
    """The sieve of a cell, in `unit` where it has none. Raises SieveError."""
    if cell.fault:
        raise SieveError(cell.fault)
    if cell.is_date:
        raise SieveError(
            "this is a date: a spreadsheet takes 3/8 for one",
            "write the size as text, with its unit",
        )
    if cell.is_percent:
        raise SieveError("a sieve is no share")
    if cell.number is not None:
        return read_sieve(f"{cell.number:.9f}", unit, Decimals("."))
    return read_sieve(cell.text, unit, sign)


def _is_attempt(cell: Cell) -> bool:
    """Whether a cell can only have been meant for a sieve."""
    return bool(cell.fault) or cell.is_date or cell.text[:1].isdigit() or cell.text[:1] in "#."


def _rank(axis: Axis) -> tuple[bool, int]:
    return axis.is_sure, axis.count


def _best(sheet: Sheet, forced: Forced) -> Axis | None:
    sign = decimals(sheet, forced)
    width = len(sheet.rows[0]) if sheet.rows else 0
    found = [_candidate(sheet, column, forced.unit, sign) for column in range(width)]
    axes = [axis for axis in found if axis is not None]
    return max(axes, key=lambda axis: (*_rank(axis), -axis.column), default=None)


def _candidate(sheet: Sheet, column: int, unit: str, sign: Decimals) -> Axis | None:
    """The column as one of sieves, if it may be one: sizes that all fall or all rise, or nearly."""
    heading: Cell | None = None
    sizes: list[tuple[int, Sieve]] = []
    between = 0
    for place, row in enumerate(sheet.rows):
        cell = row[column]
        if cell.is_blank:
            continue
        if len(sizes) < _FEWEST and cell.number is None and _is_heading(cell.text):
            heading, between = cell, 0
            sizes.clear()
            continue
        between += not sizes
        try:
            sieve = sieve_of(cell, unit or "mm", sign)
        except SieveError:
            continue
        if sieve.mm > 0 or sizes:
            sizes.append((place, sieve))
            heading = heading if between <= _NEAR else None
    heading = heading or _spanning(sheet, column, [place for place, _ in sizes])
    apertures = [sieve.mm for _, sieve in sizes if sieve.mm > 0]
    if len(set(apertures)) < _FEWEST or not _in_order(apertures):
        return None
    named = sum(sieve.has_unit and sieve.mm > 0 for _, sieve in sizes)
    return Axis(
        column,
        first=sizes[0][0],
        last=sizes[-1][0],
        count=len(apertures),
        is_sure=heading is not None or 2 * named > len(apertures),
        unit=unit_in(heading.text) if heading is not None else "",
        is_mesh=heading is not None and is_mesh(heading.text),
    )


def _spanning(sheet: Sheet, column: int, places: list[int]) -> Cell | None:
    """A heading of sizes that stands beside the first of them and spans them all: nothing else
    stands beside them."""
    if column == 0 or not places:
        return None
    beside = [row[column - 1] for row in sheet.rows[max(0, places[0] - 1) : places[-1] + 1]]
    filled = [cell for cell in beside if not cell.is_blank]
    texts = {cell.text for cell in filled}
    if len(texts) != 1 or filled[0].number is not None or not _is_heading(filled[0].text):
        return None
    return filled[0] if filled[0] in beside[:2] else None


def _is_heading(text: str) -> bool:
    return is_size(text) and not is_limit(text)


def _in_order(sizes: list[float]) -> bool:
    """Whether sizes fall, or rise, but for a slip or two in a long list."""
    falls = sum(a > b for a, b in pairwise(sizes))
    rises = sum(a < b for a, b in pairwise(sizes))
    return min(falls, rises) <= len(sizes) // 5
