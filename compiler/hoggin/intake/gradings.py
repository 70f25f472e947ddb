"""Gradings from a laboratory's sheet: every sample as sizes in mm and per cent passing."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from hoggin.intake.axis import Row, find_axis, rows_of
from hoggin.intake.columns import Column, SampleColumns, samples_of
from hoggin.intake.figures import Figure, FigureError, Figures, Point, passing
from hoggin.intake.headings import QUANTITIES, Quantity, in_kilograms, label_of
from hoggin.intake.names import identifiers
from hoggin.intake.numbers import as_number, unit_after
from hoggin.intake.reading import Reading, quoted
from hoggin.intake.sheet import Cell, SheetError, column_letters

MOST_SAMPLES = 200
_PREFERRED: tuple[Quantity, ...] = ("passing", "cumulative", "retained", "mass", "cumulative_mass")
_PARTS = ("sum", "wash", "total")  # labels of rows that belong to a table of sieves
_MASSES = ("mass", "cumulative_mass")
_ABSENT = {"-", "–", "—", "n/a", "na", "n.a.", "nd", "n.d.", "n.b.", "none", "tr", "trace", "x"}
_AGREE = 1.5  # points of passing by which two columns of a sample may differ, by rounding


@dataclass(frozen=True)
class Grading:
    """One sample. Points are (size mm, per cent passing), coarse to fine, the first at 100 %."""

    name: str  # in the language
    sample: str  # as the sheet has it, "" where it has none
    date: str
    measured: str  # what the figures were, in words
    place: str  # where in the sheet
    points: tuple[tuple[float, float], ...]


def read_gradings(reading: Reading, *, named: bool = True) -> tuple[Grading, ...]:
    """Every sample of the sheet, in its order; empty after any reported fault. named: whether their
    names in the language matter, and are noted."""
    axis = find_axis(reading)
    if axis is None:
        return ()
    rows = rows_of(axis, reading)
    groups = samples_of(axis, rows, reading)
    for row in rows:
        if row.sieve is None and label_of(row.cell.text) not in _PARTS:
            told = f"{quoted(row.cell.text)} in cell {row.cell.place}"
            reading.note(f"{told}: not a sieve, ignored")
    if len(groups) > MOST_SAMPLES:
        reading.fault(None, f"more than {MOST_SAMPLES} samples", "import them in parts")
        return ()
    names = _names(groups, reading if named else Reading(reading.sheet))
    gradings = [
        _grading(group, name, rows, reading) for group, name in zip(groups, names, strict=True)
    ]
    return () if reading.faults else tuple(filter(None, gradings))


def _names(groups: Sequence[SampleColumns], reading: Reading) -> list[str]:
    said = [group.name for group in groups]
    texts = [
        f"{group.name} {group.date}" if group.name and said.count(group.name) > 1 else group.name
        for group in groups
    ]
    names = identifiers(texts, "sample")
    for text, name in zip(texts, names, strict=True):
        if not text:
            reading.note(f"a sample has no name: called `{name}`")
        elif text.lower() != name:
            reading.note(f"{quoted(text)} is called `{name}`")
    return names


def _grading(
    group: SampleColumns, name: str, rows: Sequence[Row], reading: Reading
) -> Grading | None:
    """A sample's grading from the column nearest to per cent passing; the others must agree with
    it. None after a reported error."""
    before, wanted = len(reading.faults), reading.forced.figures
    called = quoted(group.name or name)
    read = [(column, _figures(column, group, rows, reading)) for column in group.columns]
    whole = [(column, figures) for column, figures in read if figures is not None]
    if not whole or len(reading.faults) > before:
        return None
    whole.sort(key=lambda one: _PREFERRED.index(one[1].quantity))
    if wanted is not None:
        whole = [one for one in whole if one[1].quantity == wanted][:1] or whole[:1]
    (column, figures), *others = whole
    try:
        converted = passing(figures)
        points = _topped(converted.points, reading.forced.top_mm)
    except FigureError as fault:
        reading.fault(fault.cell, f"sample {called}: {fault}", fault.help)
        return None
    for _, other in others:
        _compare(figures.quantity, other, converted.points, called, reading)
    for note in converted.notes:
        reading.note(f"sample {called}: {note}")
    measured = QUANTITIES[figures.quantity]
    return Grading(name, group.name, group.date, measured, _place(column), points)


def _place(column: Column) -> str:
    first, last = column.cells[0], column.cells[-1]
    if first.column == last.column:
        return f"column {column_letters(first.column)}"
    return f"row {first.row}"


def _topped(points: Sequence[Point], top_mm: float | None) -> tuple[tuple[float, float], ...]:
    """The points as numbers, after the given top size if the sieves begin below 100 %."""
    found = [(point.mm, point.passing) for point in points]
    first = points[0]
    if first.passing < 100.0:
        if top_mm is None:
            raise FigureError(
                first.cell,
                f"the coarsest sieve, {first.mm:g} mm, passes {first.passing:.4g} %: the size that "
                "all of it passes is missing",
                "add that sieve to the sheet, or give it with `--top-size 125mm`",
            )
        if top_mm <= first.mm:
            raise FigureError(
                first.cell,
                f"only {first.passing:.4g} % passes {first.mm:g} mm, so the top size is more than "
                f"the {top_mm:g} mm of `--top-size`",
            )
        found.insert(0, (top_mm, 100.0))
    if len(found) < 2:
        raise FigureError(first.cell, "a grading needs two sieves or more, one of them below 100 %")
    return tuple(found)


def _compare(
    quantity: Quantity, other: Figures, points: Sequence[Point], called: str, reading: Reading
) -> None:
    """Two columns of one sample must agree, apart from rounding."""
    try:
        theirs = {point.mm: point for point in passing(other).points}
    except FigureError:
        return  # it lacks what it takes to compare, a pan say
    shared = [(point, theirs[point.mm]) for point in points if point.mm in theirs]
    for ours, their in sorted(shared, key=lambda two: -abs(two[0].passing - two[1].passing))[:1]:
        if abs(ours.passing - their.passing) > _AGREE:
            reading.fault(
                ours.cell,
                f"sample {called}: {ours.passing:.4g} % passes {ours.mm:g} mm by the "
                f"{QUANTITIES[quantity]}, {their.passing:.4g} % by the "
                f"{QUANTITIES[other.quantity]} (cell {their.cell.place})",
                "correct the sheet, or choose one with `--values`",
            )


@dataclass
class _Parts:
    """The figures of a column, sorted by the rows they are in."""

    sieves: list[Figure] = field(default_factory=list)
    pan: list[Figure] = field(default_factory=list)
    sums: list[Figure] = field(default_factory=list)
    percents: list[Cell] = field(default_factory=list)  # cells that show per cent
    blank: list[float] = field(default_factory=list)  # sieves without a figure


def _figures(
    column: Column, group: SampleColumns, rows: Sequence[Row], reading: Reading
) -> Figures | None:
    parts = _parts(column, rows, reading)
    if parts.blank and parts.sieves:
        listed = ", ".join(f"{mm:g}" for mm in parts.blank[:6])
        more = " ..." if len(parts.blank) > 6 else ""
        reading.note(
            f"blank cells in {_place(column)} (sieves {listed}{more} mm): read as not sieved"
        )
    if len(parts.sieves) < 2:
        if not reading.faults:
            reading.fault(column.first, "this column has figures for fewer than two sieves")
        return None
    total = parts.sums[0] if parts.sums else None
    figures = Figures("passing", tuple(parts.sieves), tuple(parts.pan), total)
    quantity = _quantity(column, figures, group.total is not None, reading)
    if quantity is None:
        return None
    figures = replace(figures, quantity=quantity)
    if quantity in _MASSES:
        return _with_total(figures, group, reading)
    return _in_per_cent(column, figures, parts.percents, reading)


def _parts(column: Column, rows: Sequence[Row], reading: Reading) -> _Parts:
    parts = _Parts()
    for row, cell in zip(rows, column.cells, strict=True):
        label = label_of(row.cell.text) if row.sieve is None else ""
        if row.sieve is None and label not in _PARTS:
            continue
        mm = row.sieve.mm if row.sieve is not None else 0.0
        if cell.is_blank:
            parts.blank += [mm] if mm > 0 else []
            continue
        value = _number(cell, reading)
        if value is None:
            continue
        unit = unit_after(cell.text)
        if cell.is_percent or unit == "%":
            parts.percents.append(cell)
        figure = Figure(mm, value * (1000.0 if column.in_kg or unit == "kg" else 1.0), cell)
        if row.sieve is None and label != "wash":
            parts.sums.append(figure)
        else:
            (parts.sieves if mm > 0 else parts.pan).append(figure)
    return parts


def _with_total(figures: Figures, group: SampleColumns, reading: Reading) -> Figures:
    cell, in_kg = group.total or (None, False)
    value = _number(cell, reading) if cell is not None else None
    if cell is None or value is None:
        return figures
    grams = value * (1000.0 if in_kg or in_kilograms(cell.text) else 1.0)
    return replace(figures, total=Figure(0.0, grams, cell))


def _number(cell: Cell, reading: Reading) -> float | None:
    """A cell's number; None after a reported error."""
    date = "this is a date, not a value"
    if reading.is_unfit(cell, date, "write the value as text"):
        return None
    if cell.number is not None:
        return cell.number
    if cell.text.lower() in _ABSENT:
        told = f"{quoted(cell.text)} may mean 0, or not sieved"
        help = "write 0, or leave the cell blank if it was not sieved"
        reading.fault(cell, told, help)
        return None
    try:
        return as_number(cell.text, reading.sign)
    except SheetError as fault:
        reading.refuse(cell, fault)
        return None


def _quantity(
    column: Column, figures: Figures, has_total: bool, reading: Reading
) -> Quantity | None:
    """What a column's figures are: by the option, its heading, or their pattern."""
    said = column.quantity or reading.forced.figures
    if said is not None:
        return said
    guessed = guess(figures, has_total)
    if guessed is None:
        reading.fault(
            column.first,
            "the sheet does not say what these values are",
            "write `Passing (%)`, `Retained (%)` or `Mass retained (g)` above them, or give it "
            "with "
            "`--values`",
        )
        return None
    reading.note(
        f"no heading says what the values of {_place(column)} are: from their pattern read as "
        f"{QUANTITIES[guessed]}"
    )
    return guessed


def guess(figures: Figures, has_total: bool) -> Quantity | None:
    """What figures without a heading are by their pattern; None if it is ambiguous."""
    values = [figure.value for figure in sorted(figures.sieves, key=lambda f: -f.mm)]
    top = 1.0 if max(values) <= 1.0 else 100.0
    falls = all(a >= b for a, b in pairwise(values))
    rises = all(a <= b for a, b in pairwise(values))
    whole = math.fsum([*values, *(figure.value for figure in figures.pan)])
    looks: dict[Quantity, bool] = {
        "passing": falls and 0.95 * top <= values[0] <= top,
        "cumulative": rises and values[0] <= 0.05 * top and values[-1] <= top,
        "retained": abs(whole - top) <= 0.02 * top,
        "mass": max(values) > 100.0 and (bool(figures.pan) or has_total),
    }
    alike = [quantity for quantity, so in looks.items() if so]
    return alike[0] if len(alike) == 1 else None


def _in_per_cent(
    column: Column, figures: Figures, percents: Sequence[Cell], reading: Reading
) -> Figures:
    """Shares of one become per cent, with a note. A cell that shows per cent was read as such."""
    every = [*figures.sieves, *figures.pan]
    if percents:
        for figure in every:
            if figure.cell not in percents and 0.0 < figure.value <= 1.0:
                reading.fault(
                    figure.cell,
                    f"{figure.value:g} among cells in per cent: {figure.value:g} % or "
                    f"{100 * figure.value:g} %?",
                    "give the cell the same format as the others",
                )
        return figures
    as_fraction = max(figure.value for figure in every) <= 1.0
    if reading.forced.scale is not None:
        as_fraction = reading.forced.scale == "fraction"
    elif as_fraction:
        reading.note(f"the figures of {_place(column)} do not exceed 1: read as fractions")
    if not as_fraction:
        return figures
    sieves, pan = (
        tuple(replace(part, value=100.0 * part.value) for part in parts)
        for parts in (figures.sieves, figures.pan)
    )
    return replace(figures, sieves=sieves, pan=pan)
