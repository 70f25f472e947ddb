"""Products from a spreadsheet: one row each, with a name and the facts in its columns."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from hoggin.intake.axis import sieve_of
from hoggin.intake.headings import label_of, quantity_in
from hoggin.intake.names import identifiers
from hoggin.intake.numbers import as_number
from hoggin.intake.reading import Reading, quoted
from hoggin.intake.sheet import Cell, Sheet, SheetError
from hoggin.intake.sieves import Sieve, read_sieve, unit_in

MOST_PRODUCTS = 200
Role = Literal["name", "size", "rate", "share", "flakiness", "limit", ""]
Side = Literal["low", "high", ""]
_RATE_UNITS = {
    **dict.fromkeys(("t/h", "tph", "tonnes/h", "t/hour", "mt/h"), "t/h"),
    "kg/h": "kg/h",
    **dict.fromkeys(("stph", "st/h", "short tons/h"), "stph"),
}
_NAME = re.compile(r"\b(?:product|products|fraction|name|grade|description)\b")
_SIZE = re.compile(r"\b(?:sizes?|size range|range|d\s*/\s*d)\b")
_RATE = re.compile(r"\b(?:rate|tonnage|wanted|demand|capacity|output|quantity|t/h|tph|stph|kg/h)\b")
_SHARE = re.compile(r"\b(?:share|split|part)\b")
_FLAKINESS = re.compile(r"\b(?:flakiness|flaky|fi)\b")
_LOWER = re.compile(r"\b(?:min|minimum|lower|low|least|from)\b|≥|>=")
_UPPER = re.compile(r"\b(?:max|maximum|upper|high|most|to)\b|≤|<=")
_RANGE = re.compile(r"(?P<low>[^a-z]*?\d[^a-z]*?)\s*(?:-|–|—|−|\bto\b|\.\.\.?|…)\s*(?P<high>\d.*)")
_AT_LEAST = re.compile(r"(?:≥|>=|>|\bmin(?:imum)?\.?|\bat least|\bfrom)\s*(?P<low>\d.*)")
_AT_MOST = re.compile(r"(?:≤|<=|<|\bmax(?:imum)?\.?|\bat most|\bup to|\bfi)\s*(?P<high>\d.*)")


@dataclass(frozen=True, slots=True)
class Range:
    """What is required. None if that side is open."""

    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class Limit:
    mm: float
    low: float  # per cent passing
    high: float
    cell: Cell


@dataclass(frozen=True)
class Product:
    name: str  # in the language
    title: str
    size: str
    rate: Range | None
    rate_unit: str
    share: Range | None  # per cent of the plant's feed
    flakiness: Range | None  # per cent
    limits: tuple[Limit, ...]  # coarse to fine
    row: int


@dataclass(frozen=True)
class _Column:
    place: int
    role: Role
    heading: Cell
    sieve: Sieve | None = None
    side: Side = ""  # of limits in two columns
    unit: str = ""
    retained: bool = False


def holds_products(sheet: Sheet) -> bool:
    """Whether a sheet has a heading for the names of products."""
    return _heading_row(_right_way_round(sheet)) is not None


def read_products(reading: Reading) -> tuple[Product, ...]:
    """Every product of the sheet, in its order; empty after any reported error."""
    grid = _right_way_round(reading.sheet)
    heading = _heading_row(grid)
    if heading is None:
        told = "there is no column of products"
        reading.fault(None, told, "give their names the heading `Product`")
        return ()
    first, columns = _layout(grid, heading, reading)
    name_at = next(column.place for column in columns if column.role == "name")
    rows: list[tuple[Cell, ...]] = []
    for row in grid.rows[first:]:
        title = row[name_at]
        if label_of(title.text) == "sum":
            reading.note(f"{quoted(title.text)} in cell {title.place}: not a product, ignored")
        elif not title.is_blank:
            rows.append(row)
        elif stray := next((cell for cell in row if not cell.is_blank), None):
            reading.fault(stray, "this row has no product's name")
    if not rows or len(rows) > MOST_PRODUCTS:
        cell = grid.rows[heading][name_at]
        reading.fault(cell, "no products" if not rows else f"more than {MOST_PRODUCTS} products")
    titles = [row[name_at] for row in rows]
    names = identifiers([title.text for title in titles], "product")
    named = list(zip(rows, names, titles, strict=True))
    found = [_product(row, name, title, columns, reading) for row, name, title in named]
    for _, name, title in named:
        if title.text.lower() != name:
            reading.note(f"{quoted(title.text)} is called `{name}`")
    return () if reading.faults else tuple(found)


def _right_way_round(sheet: Sheet) -> Sheet:
    """The sheet with a row for each product: transposed if more headings then make sense."""
    turned = sheet.turned()
    return turned if _headings_known(turned) > _headings_known(sheet) else sheet


def _headings_known(sheet: Sheet) -> int:
    """The number of recognised cells in the row of headings; -1 if there is no such row."""
    row = _heading_row(sheet)
    if row is None:
        return -1
    return sum(_is_known(cell) for cell in sheet.rows[row] if not cell.is_blank)


def _is_known(cell: Cell) -> bool:
    words = cell.text.lower()
    if cell.number is None and any(p.search(words) for p in (_RATE, _SHARE, _FLAKINESS, _SIZE)):
        return True
    try:
        return read_sieve(words, "", ".").mm > 0
    except SheetError:
        return False


def _heading_row(sheet: Sheet) -> int | None:
    """The row of headings: the first with a heading of names and another filled cell."""
    for place, row in enumerate(sheet.rows):
        filled = [cell for cell in row if not cell.is_blank]
        apart = {cell.origin or (cell.row, cell.column) for cell in filled}
        if len(apart) > 1 and any(_is_name(cell) for cell in filled):
            return place
    return None


def _is_name(cell: Cell) -> bool:
    words = cell.text.lower()
    return cell.number is None and len(words) < 30 and bool(_NAME.search(words))


def _layout(sheet: Sheet, heading: int, reading: Reading) -> tuple[int, list[_Column]]:
    """The first row of a product, and what each column is. A second row of headings, of lower and
    upper limits, belongs to them."""
    rows = [sheet.rows[heading]]
    name_at = next(p for p, cell in enumerate(rows[0]) if _is_name(cell))
    below = sheet.rows[heading + 1] if heading + 1 < len(sheet.rows) else ()
    if _goes_on(below, rows[0][name_at], name_at) and any(_side(cell.text) for cell in below):
        rows.append(below)
    below_headings = sheet.rows[heading + len(rows) :]
    empty = {p for p in range(len(rows[0])) if all(row[p].is_blank for row in below_headings)}
    # A title is above the headings or, in a sheet turned over, beside them.
    titles = [*(c for row in sheet.rows[:heading] for c in row), *(rows[0][p] for p in empty)]
    said = " ".join(cell.text for cell in titles if not cell.is_blank)
    unit = reading.forced.unit or unit_in(said)
    retained = quantity_in(said) in ("retained", "cumulative")
    columns: list[_Column] = []
    for place, cell in enumerate(rows[0]):
        second = rows[1][place].text if len(rows) > 1 else ""
        if cell.is_blank and second and columns and columns[-1].role == "limit":
            cell = columns[-1].heading  # a sieve is above both of its limits, not merged
        if cell.is_blank or (place in empty and place != name_at):
            continue
        column = _column(place, cell, second, name_at, unit, reading)
        if column.role == "limit":
            column = replace(column, retained=retained or column.retained)
        if column.role:
            columns.append(column)
    if any(c.sieve is not None and not c.sieve.has_unit for c in columns) and not unit:
        reading.note("the sieves have no unit: read as mm")
    return heading + len(rows), columns


def _goes_on(below: Sequence[Cell], name: Cell, name_at: int) -> bool:
    """Whether a row still belongs to the headings: no name is below the heading of names."""
    if not below:
        return False
    merged = name.origin is not None and below[name_at].origin == name.origin
    return below[name_at].is_blank or merged


def _column(
    place: int, cell: Cell, second: str, name_at: int, unit: str, reading: Reading
) -> _Column:
    words = " ".join(cell.text.lower().split())
    if place == name_at:
        return _Column(place, "name", cell)
    if _FLAKINESS.search(words):
        return _Column(place, "flakiness", cell)
    if _SHARE.search(words):
        return _Column(place, "share", cell)
    if _RATE.search(words):
        return _Column(place, "rate", cell, unit=rate_unit(cell, words, reading))
    side = _side(second or words)
    sieve_text = cell.text
    for pattern in (_LOWER, _UPPER):
        sieve_text = pattern.sub(" ", sieve_text.lower())
    sieve_text = re.sub(r"%|\b(?:passing|retained|limit|limits)\b|[()\[\]]", " ", sieve_text)
    if cell.number is not None or re.search(r"\d", sieve_text):
        try:
            sieve = sieve_of(replace(cell, text=sieve_text), unit, reading.sign)
        except SheetError as fault:
            reading.refuse(cell, fault)
            return _Column(place, "", cell)
        if sieve.told:
            reading.note(sieve.told)
        retained = quantity_in(words) in ("retained", "cumulative")
        return _Column(place, "limit", cell, sieve, side, retained=retained)
    if _SIZE.search(words):
        return _Column(place, "size", cell)
    reading.note(f"{quoted(cell.text)} in cell {cell.place}: not recognised, ignored")
    return _Column(place, "", cell)


def _side(text: str) -> Side:
    words = text.lower()
    if _LOWER.search(words):
        return "low"
    return "high" if _UPPER.search(words) else ""


def rate_unit(cell: Cell, words: str, reading: Reading) -> str:
    found = [word for word in _RATE_UNITS if word in words.replace(" ", "")]
    if found:
        return _RATE_UNITS[max(found, key=len)]  # `tph` is also in `stph`
    if re.search(r"\b(?:year|annum|annual|day|week|month|shift)\b|/(?:a|y|yr|d)\b", words):
        reading.fault(
            cell,
            "a tonnage over a longer time, but a plant is balanced in t/h",
            "divide it by the operating hours, and give it the heading `t/h`",
        )
    elif "%" in words:
        reading.fault(cell, "a rate in per cent", "use the heading `Share (%)`, or write it in t/h")
    else:
        reading.note(f"{quoted(cell.text)} has no unit: read as t/h")
    return "t/h"


def _product(
    row: Sequence[Cell], name: str, title: Cell, columns: Sequence[_Column], reading: Reading
) -> Product:
    def asked(role: Role, side: Side) -> tuple[Range | None, str]:
        for column in columns:
            cell = row[column.place]
            if column.role == role and not cell.is_blank:
                found = read_range(cell, side, reading)
                if found is not None:
                    _check_bounds(cell, role, found, reading)
                return found, column.unit
        return None, "t/h"

    rate, unit = asked("rate", "low")
    share, _ = asked("share", "low")
    flakiness, _ = asked("flakiness", "high")
    size = next((row[c.place].text for c in columns if c.role == "size"), "")
    limits = tuple(_limits(row, columns, reading))
    _check_falls(limits, reading)
    return Product(name, title.text, size, rate, unit, share, flakiness, limits, title.row)


def _check_bounds(cell: Cell, role: Role, asked: Range, reading: Reading) -> None:
    for value in (asked.low, asked.high):
        if value is None:
            continue
        if role == "rate" and value < 0.0:
            reading.fault(cell, "a negative rate")
        elif role != "rate" and not 0.0 <= value <= 100.0:
            reading.fault(cell, f"{value:g} % is not within 0 % to 100 %")


def _limits(row: Sequence[Cell], columns: Sequence[_Column], reading: Reading) -> Iterator[Limit]:
    """Limits of per cent passing, coarse to fine: of a single cell, or of two columns."""
    found: dict[float, tuple[float, float, Cell]] = {}
    for column in columns:
        cell = row[column.place]
        if column.sieve is None or cell.is_blank:
            continue
        asked = read_range(cell, column.side, reading)
        if asked is None:
            continue
        low = 0.0 if asked.low is None else asked.low
        high = 100.0 if asked.high is None else asked.high
        if not 0.0 <= low <= high <= 100.0:
            limits = f"{low:g} %" if low == high else f"from {low:g} % to {high:g} %"
            reading.fault(cell, f"{limits} is not within 0 % to 100 %")
            continue
        if column.retained:
            low, high = 100.0 - high, 100.0 - low
        mm = column.sieve.mm
        if mm in found:
            other_low, other_high, _ = found[mm]
            low, high = max(low, other_low), min(high, other_high)
            if low > high:
                reading.fault(cell, f"the lower limit, {low:g} %, is above the upper, {high:g} %")
                continue
        found[mm] = low, high, cell
    for mm in sorted(found, reverse=True):
        yield Limit(mm, *found[mm])


def _one_sided(value: float, side: Side) -> Range:
    """What a single number requires: at least, at most, or exactly this value."""
    return Range(None if side == "high" else value, None if side == "low" else value)


def _check_falls(limits: Sequence[Limit], reading: Reading) -> None:
    for coarse, fine in pairwise(limits):
        if fine.low > coarse.low or fine.high > coarse.high:
            reading.fault(
                fine.cell,
                f"{fine.low:g} % to {fine.high:g} % at {fine.mm:g} mm rises above "
                f"{coarse.low:g} % to {coarse.high:g} % at {coarse.mm:g} mm",
                "limits of passing can't rise towards finer sieves; are they limits of what is "
                "retained? If so, say it in the heading",
            )


def read_range(cell: Cell, side: Side, reading: Reading) -> Range | None:
    """What a cell requires: `20`, `15 - 25`, `≥ 120`, `max 20`. None after a reported error."""
    date = "this is a date: a spreadsheet reads 5-10 as a date"
    if reading.is_unfit(cell, date, "write it as text, as `5 to 10`"):
        return None
    if cell.number is not None:
        return _one_sided(cell.number, side)
    words = " ".join(cell.text.lower().split())
    words = re.sub(r"\s*(?:t/h|tph|stph|kg/h)\b", "", words)
    found = (pattern.fullmatch(words) for pattern in (_AT_LEAST, _AT_MOST, _RANGE))
    matched = next(filter(None, found), None)
    try:
        if matched is None:
            return _one_sided(as_number(words, reading.sign), side)
        limits = {name: as_number(text, reading.sign) for name, text in matched.groupdict().items()}
    except SheetError as fault:
        reading.refuse(cell, fault, "write `20`, `15 to 25` or `max 20`")
        return None
    low, high = limits.get("low"), limits.get("high")
    if low is not None and high is not None and low > high:
        reading.fault(cell, f"{low:g} is written before {high:g}", "the smaller one first")
        return None
    return Range(low, high)
