"""Sheets for the tests, written by general libraries, and read back as a user would."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from pathlib import Path

import openpyxl

from hoggin.intake.gradings import Grading, read_gradings
from hoggin.intake.reading import Forced, Reading
from hoggin.intake.sheet import Cell, Sheet

Value = str | float | int | None
Rows = Sequence[Sequence[Value]]


def sheet(rows: Rows) -> Sheet:
    """Rows of texts and numbers as a workbook's sheet."""
    longest = max(map(len, rows))
    return Sheet(
        "lab.xlsx",
        "Gradings",
        tuple(
            tuple(
                _cell(row, column, values[column - 1] if column <= len(values) else None)
                for column in range(1, longest + 1)
            )
            for row, values in enumerate(rows, 1)
        ),
    )


def _cell(row: int, column: int, value: Value) -> Cell:
    if value is None:
        return Cell(row, column)
    if isinstance(value, str):
        return Cell(row, column, value)
    return Cell(row, column, f"{value:g}", float(value))


def read(rows: Rows, forced: Forced | None = None) -> tuple[tuple[Grading, ...], Reading]:
    made = sheet(rows)
    reading = Reading(made, forced or Forced())
    return read_gradings(reading), reading


def gradings(rows: Rows, forced: Forced | None = None) -> dict[str, dict[float, float]]:
    """By sample: per cent passing by size in mm, of rows without faults."""
    found, reading = read(rows, forced)
    assert reading.faults == []
    return {grading.sample: dict(grading.points) for grading in found}


def faults(rows: Rows, forced: Forced | None = None) -> str:
    found, reading = read(rows, forced)
    assert found == ()
    return reading.report()


def write_csv(path: Path, rows: Rows, delimiter: str = ",", decimal: str = ".") -> Path:
    out = io.StringIO()
    writer = csv.writer(out, delimiter=delimiter)
    for row in rows:
        writer.writerow(
            [
                "" if v is None else v if isinstance(v, str) else f"{v:.10g}".replace(".", decimal)
                for v in row
            ]
        )
    path.write_text("\ufeff" + out.getvalue(), encoding="utf-8", newline="")
    return path


def write_xlsx(path: Path, rows: Rows, title: str = "Gradings") -> Path:
    book = openpyxl.Workbook()
    page = book.active
    page.title = title
    for row, values in enumerate(rows, 1):
        for column, value in enumerate(values, 1):
            page.cell(row, column, value)
    book.save(path)
    return path
