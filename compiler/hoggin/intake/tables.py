"""A machine's table from a sheet: per cent passing by sieve and setting, t/h by setting.

The gradings are read as those of a laboratory's samples, each named by its setting. Rows (or
columns) with labels give the capacity, the feed that the table is for and its bulk density.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from hoggin.intake.gradings import Grading, read_gradings
from hoggin.intake.headings import name_in
from hoggin.intake.library import share, size
from hoggin.intake.numbers import as_number
from hoggin.intake.products import Range, rate_unit, read_range
from hoggin.intake.reading import Reading, quoted
from hoggin.intake.sheet import Cell, Sheet, SheetError, column_letters
from hoggin.intake.sieves import amount
from hoggin.report.wording import quotable
from hoggin.syntax import made, tree
from hoggin.syntax.printer import printed

Label = Literal["capacity", "feed_top", "feed_f80", "bulk_density"]

_LABELS: Mapping[Label, re.Pattern[str]] = {
    "bulk_density": re.compile(r"\bbulk density\b"),
    "feed_f80": re.compile(r"\bf80\b"),
    "feed_top": re.compile(r"\bfeed\b.*\b(?:top|largest|maximum|max)\b|\b(?:top|max)\b.*\bfeed\b"),
    "capacity": re.compile(r"\b(?:capacity|throughput|t/h|tph|stph)\b"),
}
_SETTING = re.compile(r"(?P<number>[0-9][0-9.,/ ]*)\s*(?P<unit>mm|cm|in\.?|\"|″)?(?![a-z0-9])")
_OF_SETTING = re.compile(r"\b(?:css|closed|side|setting|gap|at)\b|[=:()\[\]]")
_UNITS = {"mm": 1.0, "cm": 10.0, "in": 25.4}
_DENSITY = re.compile(r"(?P<number>[0-9.,]+)\s*(?:(?P<unit>t/m3|t/m³|kg/m3|kg/m³))?")


@dataclass(frozen=True, slots=True)
class Stated:
    """What the command line states of a table, in place of the sheet; None where it does not."""

    feed_top_mm: float | None = None
    feed_f80_mm: float | None = None
    bulk_density_t_m3: float | None = None


@dataclass(frozen=True)
class MachineTable:
    """Rows by rising setting, mm. Gradings are (size mm, per cent passing)."""

    gradings: Mapping[float, tuple[tuple[float, float], ...]]
    rates: Mapping[float, Range]
    rate_unit: str
    stated: Stated


def read_machine_table(reading: Reading, stated: Stated) -> MachineTable | None:
    """The table; None after any reported fault."""
    labelled = _labelled(reading.sheet)
    cells = {id(cell) for line in labelled.values() for cell in line}
    plain = Reading(_without(reading.sheet, cells), reading.forced, reading.faults, reading.notes)
    gradings = read_gradings(plain, named=False)
    by_line: dict[str, float] = {}
    found: dict[float, tuple[tuple[float, float], ...]] = {}
    for grading in gradings:
        setting = _setting_mm(grading, reading)
        if setting in found:
            told = f"a second grading for the setting {setting:g} mm"
            reading.fault(_heading(grading, reading.sheet), told)
        elif setting is not None:
            found[setting] = grading.points
            by_line[grading.place] = setting
    rates, unit = _rates(labelled.get("capacity", ()), by_line, reading)
    known = _known(labelled, stated, reading)
    if found and known.feed_top_mm is None:
        reading.fault(
            None,
            "the sheet does not say which feed the table is for",
            "add a row `Feed top size`, or give it with `--feed-top 500mm`",
        )
    if rates and known.bulk_density_t_m3 is None:
        reading.fault(
            None,
            "the sheet does not say for which bulk density the capacity is",
            "add a row `Bulk density`, or give it with `--bulk-density 1.6`",
        )
    if reading.faults or not found:
        return None
    return MachineTable(dict(sorted(found.items())), dict(sorted(rates.items())), unit, known)


def table_text(table: MachineTable, name: str, base: str, setting: str, sheet: Sheet) -> str:
    """A library with a class that extends `base`, `std.jaws.single_toggle`, by the table."""
    library, _, _ = base.rpartition(".")
    heading = (
        f"# Written by `hoggin import table` from {quotable(sheet.name)}. You may change it.\n"
        "# A table holds for its feed, its rock and its settings, and is not extrapolated.\n"
    )
    body = [
        made.fact("about", made.text(f"Machine by the table {quotable(sheet.name)}")),
        made.fact("source", made.text(f"table {quotable(sheet.name)}")),
        _model("breakage", _breakage(table, setting)),
    ]
    if table.rates:
        body.append(_model("capacity", _capacity(table, setting)))
    of = made.path(f"{library.rpartition('.')[2]}.{base.rpartition('.')[2]}")
    statements = [
        tree.Use(made.NOWHERE, made.path(library), None, ()),
        tree.ClassDefinition(
            made.NOWHERE, made.ident("crusher"), made.ident(name), (), of, tuple(body)
        ),
    ]
    return f"{heading}\n{printed(statements)}"


def _model(role: str, body: Iterator[tree.Fact]) -> tree.ModelDefinition:
    return tree.ModelDefinition(made.NOWHERE, made.ident(role), made.ident("table"), tuple(body))


def _breakage(table: MachineTable, setting: str) -> Iterator[tree.Fact]:
    yield made.fact("css", made.path(setting))
    if table.stated.feed_top_mm is not None:
        yield made.fact("feed_top", size(table.stated.feed_top_mm))
    if table.stated.feed_f80_mm is not None:
        yield made.fact("feed_f80", size(table.stated.feed_f80_mm))
    rows = (
        made.entry(size(mm), made.row(made.entry(size(one), share(p, "%")) for one, p in points))
        for mm, points in table.gradings.items()
    )
    yield made.listed("passing", rows)


def _capacity(table: MachineTable, setting: str) -> Iterator[tree.Fact]:
    yield made.fact("css", made.path(setting))
    if table.stated.bulk_density_t_m3 is not None:
        yield made.fact("bulk_density", made.measure(table.stated.bulk_density_t_m3, "t/m3"))
    yield made.listed(
        "rate",
        (
            made.entry(size(mm), *(share(end, table.rate_unit) for end in _ends(asked)))
            for mm, asked in table.rates.items()
        ),
    )


def _ends(asked: Range) -> Iterator[float]:
    """One rate, or both ends of a range."""
    ends = [end for end in (asked.low, asked.high) if end is not None]
    yield from ends[:1] if len(set(ends)) == 1 else ends


# --- the lines beside the gradings -------------------------------------------------------------


def _labelled(sheet: Sheet) -> dict[Label, Sequence[Cell]]:
    """The lines of a sheet, across or down, that begin with a label."""
    found: dict[Label, Sequence[Cell]] = {}
    for lines in (sheet.rows, sheet.turned().rows):
        for line in lines:
            filled = [cell for cell in line if not cell.is_blank]
            label = _label(filled[0]) if len(filled) > 1 else None
            if label is not None:
                found.setdefault(label, filled)
    return found


def _label(cell: Cell) -> Label | None:
    words = " ".join(cell.text.lower().split())
    if cell.number is not None:
        return None
    return next((label for label, pattern in _LABELS.items() if pattern.search(words)), None)


def _without(sheet: Sheet, cells: set[int]) -> Sheet:
    """The sheet with some of its cells blank."""
    rows = tuple(
        tuple(Cell(cell.row, cell.column) if id(cell) in cells else cell for cell in row)
        for row in sheet.rows
    )
    return replace(sheet, rows=rows)


def _setting_mm(grading: Grading, reading: Reading) -> float | None:
    """The setting that a grading's heading names; None after a reported fault."""
    heading = _heading(grading, reading.sheet)
    words = _OF_SETTING.sub(" ", (heading.text if heading else grading.sample).lower())
    found = _SETTING.search(words)
    unit = (found["unit"] or "") if found else ""
    name = "in" if unit.strip(".") in ("in", '"', "″") else unit
    try:
        if found is None:
            raise SheetError("this is not a setting")
        scale = _UNITS[name or ("in" if reading.forced.unit == "in" else "mm")]
        return float(f"{scale * amount(found['number'].strip(), reading.sign):.6g}")
    except SheetError as fault:
        told = f"{grading.place}, headed {quoted(grading.sample)}: {fault}"
        reading.fault(heading, told, "head each grading with its setting, as `CSS 40 mm`")
    return None


def _heading(grading: Grading, sheet: Sheet) -> Cell | None:
    """The cell that a grading has its name from."""
    return next(
        (
            cell
            for cell in sheet.cells()
            if grading.place in _places(cell) and name_in(cell.text) == grading.sample
        ),
        None,
    )


def _places(cell: Cell) -> tuple[str, str]:
    """The column and the row of a cell, as a grading's place says it."""
    return f"column {column_letters(cell.column)}", f"row {cell.row}"


def _rates(
    line: Sequence[Cell], settings: Mapping[str, float], reading: Reading
) -> tuple[dict[float, Range], str]:
    """The capacity of each setting, and its unit."""
    found: dict[float, Range] = {}
    if not line:
        return found, "t/h"
    label, *cells = line
    unit = rate_unit(label, " ".join(label.text.lower().split()), reading)
    for cell in cells:
        setting = next((settings[place] for place in _places(cell) if place in settings), None)
        asked = read_range(cell, "", reading)
        if setting is None:
            reading.fault(cell, "this capacity is beside no grading")
        elif asked is not None:
            found[setting] = asked
    return found, unit


def _known(labelled: Mapping[Label, Sequence[Cell]], stated: Stated, reading: Reading) -> Stated:
    def length(label: Label) -> float | None:
        return _number(labelled.get(label, ()), _SETTING, _UNITS, "mm", reading)

    density = _number(
        labelled.get("bulk_density", ()),
        *(_DENSITY, {"t/m3": 1.0, "kg/m3": 0.001}, "t/m3", reading),
    )
    return Stated(
        length("feed_top") if stated.feed_top_mm is None else stated.feed_top_mm,
        length("feed_f80") if stated.feed_f80_mm is None else stated.feed_f80_mm,
        density if stated.bulk_density_t_m3 is None else stated.bulk_density_t_m3,
    )


def _number(
    line: Sequence[Cell],
    pattern: re.Pattern[str],
    units: Mapping[str, float],
    usual: str,
    reading: Reading,
) -> float | None:
    """The one value of a labelled line, in its usual unit; the unit may be in its label."""
    if not line:
        return None
    label, cell, *_ = line
    if reading.is_unfit(cell, "this is a date", "write a number with its unit"):
        return None
    said = f"{label.text} {cell.text}".lower().replace("³", "3").replace('"', "in")
    unit = next((one for one in units if re.search(rf"(?<![a-z]){one}\b", said)), usual)
    found = pattern.search(cell.text.lower())
    try:
        if cell.number is not None:
            return units[unit] * cell.number
        if found is None:
            raise SheetError("this is not a number")
        return units[unit] * as_number(found["number"].strip(), reading.sign)
    except SheetError as fault:
        reading.refuse(cell, fault, "write a number with its unit")
    return None
