"""Which columns of a sheet belong to which sample, and what each column is."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import zip_longest

from hoggin.intake import headings
from hoggin.intake.axis import Axis, Row, size_of
from hoggin.intake.headings import Label, Quantity, is_size, label_of, quantity_in
from hoggin.intake.numbers import as_number, looks_numeric
from hoggin.intake.reading import Reading, quoted
from hoggin.intake.sheet import Cell, SheetError
from hoggin.intake.sieves import unit_in

_SAME_SIEVE = 0.05  # relative: 25 mm is called 1 in, and 4.76 mm was No. 4


@dataclass(frozen=True)
class Column:
    """A column of figures and its headings. `cells` are beside the rows of the axis."""

    place: int
    cells: tuple[Cell, ...]
    quantity: Quantity | None
    names: tuple[str, ...]  # from the nearest to the figures on upward
    date: str = ""
    total: tuple[Cell, bool] | None = None  # the cell of the total mass, and whether it is in kg
    in_kg: bool = False

    @property
    def first(self) -> Cell:
        """The first filled cell: where a fault of the whole column is reported."""
        return next((cell for cell in self.cells if not cell.is_blank), self.cells[0])


@dataclass
class SampleColumns:
    """The columns of one sample."""

    name: str
    columns: list[Column] = field(default_factory=list)

    @property
    def date(self) -> str:
        return next((column.date for column in self.columns if column.date), "")

    @property
    def total(self) -> tuple[Cell, bool] | None:
        return next((column.total for column in self.columns if column.total), None)


def samples_of(axis: Axis, rows: Sequence[Row], reading: Reading) -> list[SampleColumns]:
    """The samples in their order; empty after a reported error."""
    places = _filled_columns(axis, rows, reading)
    if not places:
        if not reading.faults:
            cell = axis.sheet.rows[axis.first][axis.column]
            reading.fault(cell, "there are no values beside the sieves")
        return []
    labels = list(_labels(axis, places))
    quantity = _of_sheet(axis)
    columns = [_column(axis, labels, place, rows, quantity) for place in places]
    return _grouped(columns, _sheet_name(axis), reading)


def _filled_columns(axis: Axis, rows: Sequence[Row], reading: Reading) -> list[int]:
    """Columns of numbers beside sieves that are neither limits nor a second list of sieves."""
    found: list[int] = []
    beside = [axis.sheet.rows[row.place] for row in rows if row.sieve is not None]
    for column in range(len(axis.sheet.rows[0])):
        if column == axis.column or not any(_numeric(row[column], reading.sign) for row in beside):
            continue
        above = [row[column] for row in axis.above if not _joined(row, column, axis.column)]
        told = next((c for c in above[::-1] if not c.is_blank and _is_left_out(c.text)), None)
        if told is None:
            found.append(column)
        elif other := _other_sieves(rows, axis, column, told.text, reading.sign):
            reading.fault(
                other,
                "a second list of sieves, with other sizes: it is not clear which values belong "
                "to it",
                "give each list a sheet of its own, or all samples the same sieves, side by side",
            )
        else:
            reading.note(f"{quoted(told.text)} in cell {told.place}: not a sample, ignored")
    return found


def _other_sieves(
    rows: Sequence[Row], axis: Axis, column: int, heading: str, sign: str
) -> Cell | None:
    """The first cell of a second list of sieves that is not of the size of its row. A list in
    another unit, or of names beside openings, is all of one size with the first."""
    unit = unit_in(heading)
    if not is_size(heading) or (headings.is_mesh(heading) and not unit):
        return None
    for row in rows:
        if row.sieve is None or row.sieve.mm == 0.0:
            continue
        cell = axis.sheet.rows[row.place][column]
        mm = None if cell.is_blank else size_of(cell, unit, sign)
        if mm and abs(mm / row.sieve.mm - 1.0) > _SAME_SIEVE:
            return cell
    return None


def _joined(row: Sequence[Cell], one: int, other: int) -> bool:
    """Whether two cells of a row were merged: a title over the whole table, say."""
    return row[one].origin is not None and row[one].origin == row[other].origin


def _is_left_out(text: str) -> bool:
    return headings.is_limit(text) or (is_size(text) and quantity_in(text) is None)


def _numeric(cell: Cell, sign: str) -> bool:
    if cell.number is not None or cell.fault:
        return True
    try:
        as_number(cell.text, sign)
    except SheetError:
        return looks_numeric(cell.text)
    return True


def _labels(axis: Axis, columns: Sequence[int]) -> Iterator[Cell | None]:
    """Of every row above the sieves: its label, which is in the sieves' column or left of the
    figures."""
    left = [axis.column, *(c for c in range(min(columns)) if c != axis.column)]
    for row in axis.above:
        texts = (row[c] for c in left if not row[c].is_blank and row[c].number is None)
        yield next(texts, None)


def _column(
    axis: Axis,
    labels: Sequence[Cell | None],
    place: int,
    rows: Sequence[Row],
    usual: Quantity | None,
) -> Column:
    """`usual`: what was measured if the column's own headings do not say."""
    quantity: Quantity | None = None
    names: list[str] = []
    date = ""
    total: tuple[Cell, bool] | None = None
    kilograms = False
    for row, label in reversed(list(zip(axis.above, labels, strict=True))):
        kind: Label = label_of(label.text) if label is not None else ""
        cell = _value(row, label, place, axis.column)
        if cell is None or cell.is_blank:
            continue
        if kind == "total" and label is not None and not quantity_in(cell.text):
            total = total or (cell, headings.in_kilograms(f"{label.text} {cell.text}"))
        elif kind == "date" or cell.is_date:
            date = date or cell.text
        elif kind == "sample":
            names.insert(0, cell.text)
        elif kind == "" or (label is not None and is_size(label.text)):
            said, name = quantity_in(cell.text), headings.name_in(cell.text)
            quantity = quantity or said
            if said in ("mass", "cumulative_mass"):
                kilograms = kilograms or headings.in_kilograms(cell.text)
            if name and (cell.number is None or (label is not None and is_size(label.text))):
                names.append(name)
    cells = tuple(axis.sheet.rows[row.place][place] for row in rows)
    return Column(place, cells, quantity or usual, tuple(names), date, total, kilograms)


def _value(cells: Sequence[Cell], label: Cell | None, place: int, sieves: int) -> Cell | None:
    """What a row above the figures says of a column: the cell above it; or, of a label with a
    single value, that value, which holds for all columns."""
    if not cells[place].is_blank:
        is_title = _joined(cells, place, sieves)
        return None if is_title or cells[place] is label else cells[place]
    if label is None:
        return None
    values = [c for c in cells if not c.is_blank and c is not label and c.origin is None]
    if len(values) == 1 and label_of(label.text) in ("date", "total", "sample"):
        return values[0]
    return None


def _of_sheet(axis: Axis) -> Quantity | None:
    """What was measured, by the sheet's title or beside the sieves."""
    texts = [cell.text for row in axis.above for cell in row]
    said = {quantity_in(text) for text in [*texts, axis.sheet.title]} - {None}
    return said.pop() if len(said) == 1 else None


def _sheet_name(axis: Axis) -> str:
    """The name of a sheet's only sample: `Sample: P-12` in one cell or in two."""
    for row in axis.above:
        for cell, after in zip_longest(row, row[1:]):
            if label_of(cell.text) != "sample" or cell.number is not None:
                continue
            one = re.fullmatch(r"[^:]+:\s*(\S.*)", cell.text)
            if one is not None:
                return one[1]
            if after is not None and not after.is_blank and after.origin != (cell.row, cell.column):
                return after.text
    return ""


def _grouped(columns: Sequence[Column], sheet_name: str, reading: Reading) -> list[SampleColumns]:
    """Columns with the same name belong to one sample, and so do columns without a name after them
    if each is something else."""
    groups: list[SampleColumns] = []
    for column, name in zip(columns, _told_apart(columns), strict=True):
        same = next((g for g in groups if g.name == name), None) if name else None
        last = groups[-1] if groups else None
        if same is not None and _takes(same, column):
            same.columns.append(column)
        elif not name and last is not None and column.quantity and _takes(last, column):
            if last.name:
                reading.note(
                    f"the column of cell {column.first.place} has no name: read as sample "
                    f"{quoted(last.name)}"
                )
            last.columns.append(column)
        else:
            groups.append(SampleColumns(name, [column]))
    if len(groups) == 1 and not groups[0].name:
        groups[0].name = sheet_name
    return groups


def _takes(group: SampleColumns, column: Column) -> bool:
    return column.quantity not in {None, *(other.quantity for other in group.columns)}


def _told_apart(columns: Sequence[Column]) -> list[str]:
    """The nearest name of each column, led by the one above where two would be the same."""
    keys = [(column.names[:1], column.quantity) for column in columns]
    return [
        " ".join(column.names[1::-1] if keys.count(key) > 1 else column.names[:1])
        for key, column in zip(keys, columns, strict=True)
    ]
