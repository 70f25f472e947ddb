"""Where the sieves of a sheet are: down a column, or across a row (then it is transposed)."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from hoggin.intake.headings import is_limit, is_mesh, is_size, label_of
from hoggin.intake.reading import Reading, quoted
from hoggin.intake.sheet import Cell, Sheet, SheetError
from hoggin.intake.sieves import Sieve, read_sieve, unit_in

_FEWEST = 2
_RANGE = re.compile(r"\s*[0-9.,]+\s*[/–-]\s*[0-9.,]{2,}\s*(?:mm)?\s*|\s*[0-9]\s*/\s*[0-9]\s*")
_NEAR = 4  # filled cells above the first size that may be its heading


@dataclass(frozen=True, slots=True)
class Axis:
    """A column of sieves: its place, and the rows of its first and last one, from 0. `sheet` may be
    turned over, so that its sieves are down a column."""

    sheet: Sheet
    column: int
    first: int
    last: int
    count: int  # of sieves
    is_sure: bool  # a heading says so, or the sizes have units
    unit: str  # that the heading names
    is_mesh: bool  # the heading speaks of a mesh, and of no unit

    @property
    def above(self) -> Sequence[tuple[Cell, ...]]:
        return self.sheet.rows[: self.first]

    @property
    def rank(self) -> tuple[bool, int]:
        return self.is_sure, self.count


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a sieve, of the pan (mm 0), or of something else that has a label."""

    place: int
    cell: Cell
    sieve: Sieve | None


def find_axis(reading: Reading) -> Axis | None:
    """The column of sieves, of the transposed sheet if necessary; None after a reported error."""
    sheet, forced = reading.sheet, reading.forced
    down = _best(sheet, reading) if forced.sieves != "across" else None
    across = _best(sheet.turned(), reading) if forced.sieves != "down" else None
    if down is not None and across is not None and down.rank == across.rank:
        reading.fault(
            sheet.rows[down.first][down.column],
            "the sieves may be down this column, or across a row",
            "choose with `--sieves down` or `--sieves across`",
        )
        return None
    axis = max(filter(None, (down, across)), key=lambda axis: axis.rank, default=None)
    if axis is None:
        reading.fault(
            None,
            "there are no sieves",
            "give the sizes a heading, as `Sieve (mm)`, or write the unit of each",
        )
        return None
    if axis.is_sure:
        return axis
    span = next(_ranges(sheet), None)
    if span is not None:
        told = f"{quoted(span.text)}: this names two sizes"
        reading.fault(span, told, "a grading needs single sieves, as `4 mm`, and what passes each")
        return None
    place = axis.sheet.rows[axis.first][axis.column].place
    reading.note(f"the sizes from cell {place} on have no heading: read as sieves")
    return axis


def rows_of(axis: Axis, reading: Reading) -> list[Row]:
    """Every row from the first sieve on that has a label. What can't be read is reported."""
    unit = reading.forced.unit or axis.unit
    found: list[Row] = []
    for place, line in enumerate(axis.sheet.rows[axis.first :], axis.first):
        cell = line[axis.column]
        if cell.is_blank:
            continue
        try:
            sieve = sieve_of(cell, unit, reading.sign)
        except SheetError as fault:
            if found and _is_heading(cell.text) and _goes_on(axis, place, unit, reading.sign):
                reading.fault(
                    cell,
                    f"{quoted(cell.text)}: a second table begins here",
                    "give each a sheet of its own, or put the samples side by side",
                )
                break
            starts_as_sieve = cell.text[:1].isdigit() or cell.text[:1] in "#."
            is_attempt = bool(cell.fault) or cell.is_date or starts_as_sieve
            if (place < axis.last or is_attempt) and not label_of(cell.text):
                reading.refuse(cell, fault)
            else:
                found.append(Row(place, cell, None))
            continue
        if sieve.told:
            reading.note(sieve.told)
        found.append(Row(place, cell, sieve))
    if not unit:
        _tell_unit(axis, found, reading)
    return found


def _tell_unit(axis: Axis, rows: Sequence[Row], reading: Reading) -> None:
    """The assumed unit of sieves without one."""
    sieves = [(row.sieve.mm, row.cell) for row in rows if row.sieve and not row.sieve.has_unit]
    bare = [(mm, cell) for mm, cell in sieves if mm > 0]
    if not bare:
        return
    largest_mm, largest = max(bare, key=lambda one: one[0])
    if axis.is_mesh:
        reading.fault(
            bare[0][1],
            f"{quoted(bare[0][1].text)}: a mesh may be an opening, or a count",
            "use `--unit mm` if these are openings; write a count as `No. 30` of ASTM E11",
        )
    elif largest_mm >= 1000.0:
        told = f"{quoted(largest.text)}: it has no unit, and in mm this is not a sieve"
        reading.fault(largest, told, "give it with `--unit um`, or in the heading")
    else:
        reading.note("the sieves have no unit: read as mm")


def _goes_on(axis: Axis, place: int, unit: str, sign: str) -> bool:
    """Whether a sieve is in the next rows."""
    below = axis.sheet.rows[place + 1 : place + 1 + _FEWEST]
    return any(size_of(row[axis.column], unit, sign) for row in below)


def _ranges(sheet: Sheet) -> Iterator[Cell]:
    """Cells that hold a range of sizes such as 16/31.5, where a column or row has several."""
    for line in (*sheet.turned().rows, *sheet.rows):
        ranges = [cell for cell in line if cell.number is None and _RANGE.fullmatch(cell.text)]
        if len(ranges) >= _FEWEST:
            yield ranges[0]


def sieve_of(cell: Cell, unit: str, sign: str) -> Sieve:
    """The sieve of a cell, in `unit` where it has none. Raises SheetError."""
    if cell.fault:
        raise SheetError(cell.fault)
    if cell.is_date:
        told = "this is a date: a spreadsheet reads 3/8 as a date"
        raise SheetError(told, "write the size as text, with its unit")
    if cell.is_percent:
        raise SheetError("a sieve is not a share")
    if cell.number is not None:
        return read_sieve(f"{cell.number:.9f}", unit, ".")
    return read_sieve(cell.text, unit, sign)


def size_of(cell: Cell, unit: str, sign: str) -> float | None:
    """The size in mm of a cell's sieve, 0 of the pan; None where it holds no sieve."""
    try:
        return sieve_of(cell, unit, sign).mm
    except SheetError:
        return None


def _best(sheet: Sheet, reading: Reading) -> Axis | None:
    width = len(sheet.rows[0]) if sheet.rows else 0
    axes = filter(None, (_candidate(sheet, column, reading) for column in range(width)))
    return max(axes, key=lambda axis: axis.rank, default=None)


def _candidate(sheet: Sheet, column: int, reading: Reading) -> Axis | None:
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
            sieve = sieve_of(cell, reading.forced.unit or "mm", reading.sign)
        except SheetError:
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
        sheet,
        column,
        first=sizes[0][0],
        last=sizes[-1][0],
        count=len(apertures),
        is_sure=heading is not None or 2 * named > len(apertures),
        unit=unit_in(heading.text) if heading is not None else "",
        is_mesh=heading is not None and is_mesh(heading.text),
    )


def _spanning(sheet: Sheet, column: int, places: list[int]) -> Cell | None:
    """A heading of sizes that is beside the first of them and spans them all: nothing else
    is beside them."""
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
    """Whether sizes fall, or rise, apart from one or two errors in a long list."""
    falls = sum(a > b for a, b in pairwise(sizes))
    rises = sum(a < b for a, b in pairwise(sizes))
    return min(falls, rises) <= len(sizes) // 5
