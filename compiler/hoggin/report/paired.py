"""A study of rows as text: every row in a table, and which requirements it meets."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from hoggin.report import fields, wording
from hoggin.report.chart.scale import decimals
from hoggin.report.fields import Field, number, words
from hoggin.report.sweep import met_words
from hoggin.report.tables import Document, Section, Table
from hoggin.report.tally import marked, tally, verdict_counts
from hoggin.studies.paired.document import Paired

_MOST_ROWS = 40
_MOST_REASONS = 20
_ROW = "row"
_Shown = Callable[[str, str, Sequence[float | str | None]], Field]


def document(found: Paired) -> Document:
    """The document for terminal and Markdown."""
    sections = (
        _answer(found),
        Section("Rows", _cut_note(found), _rows(found)),
        *([_without_balance(found)] if any(found.refused) else []),
        Section(
            "Notes",
            points=(
                "All other settings are as the file has them; free and uncertain numbers are at "
                "their starts.",
                f"{wording.PREDICTION} {wording.DEFERENCE}",
            ),
        ),
    )
    names = ", ".join(one.name for one in found.settings)
    title = f"{found.title}: {names or 'cases'} by rows"
    whole = Document(title, wording.subtitle(found), sections)
    return marked(whole, found.missing, found.rows, "rows")


def table(found: Paired) -> Table:
    """Every row with all its figures, for CSV."""
    columns = [
        _number_of_row(),
        *_given(found, _exact),
        *(_exact(one.name, one.unit, one.values) for one in found.outputs),
        *(_exact(f"margin: {one.text}", one.unit, one.margins) for one in found.requirements),
        words("requirements", lambda row: met_words(found, row)),
        words("why there is no balance", found.refused.__getitem__),
    ]
    return fields.table("Sweep", columns, range(found.rows))


def _answer(found: Paired) -> Section:
    heading, said = "Where the requirements are met", tally(found, "rows")
    if not found.requirements:
        return Section(heading, (f"The plant states no requirements. {said}",))
    points = (
        f"{number}: {one.text}: {verdict_counts(one.verdicts, found.refused, 'rows')}"
        for number, one in enumerate(found.requirements, start=1)
    )
    return Section(heading, (said,), points=tuple(points))


def _cut_note(found: Paired) -> tuple[str, ...]:
    if found.rows <= _MOST_ROWS:
        return ()
    return (f"The first {_MOST_ROWS} of {found.rows}; the CSV has every one.",)


def _rows(found: Paired) -> Table:
    columns = (
        _number_of_row(),
        *_given(found, partial(_rounded, digits=5)),
        *(_rounded(one.name, one.unit, one.values, 4) for one in found.outputs),
        words("requirements", lambda row: met_words(found, row), 30),
    )
    return fields.table("Rows", columns, range(min(found.rows, _MOST_ROWS)))


def _given(found: Paired, shown: _Shown) -> list[Field]:
    """The columns as they were given, in their order."""
    labels = {one.name: words(one.name, one.texts.__getitem__) for one in found.labels}
    settings = {one.name: shown(one.name, one.unit, one.values) for one in found.settings}
    return [(labels | settings)[name] for name in found.given]


def _number_of_row() -> Field:
    """Counted from 1, as a reader counts the rows below the heading."""
    return number(_ROW, "", "count", lambda row: row + 1)


def _exact(name: str, unit: str, values: Sequence[float | str | None]) -> Field:
    if any(isinstance(value, str) for value in values):
        return words(name, values.__getitem__)
    return number(name, unit, "number", values.__getitem__)


def _rounded(name: str, unit: str, values: Sequence[float | str | None], digits: int) -> Field:
    numbers = [None if isinstance(value, str) else value for value in values]
    if numbers != list(values):
        return words(name, values.__getitem__)
    places = decimals(numbers, digits)
    shown = [wording.fixed(value, places) for value in numbers]
    return number(name, unit, "number", shown.__getitem__)


def _without_balance(found: Paired) -> Section:
    refused = [row for row in range(found.rows) if found.refused[row]]
    points = [f"{_row_words(found, row)}: {found.refused[row]}" for row in refused[:_MOST_REASONS]]
    more = len(refused) - _MOST_REASONS
    points += [f"and {more} more; the CSV has all"] if more > 0 else []
    note = f"{len(refused)} of {found.rows} rows."
    return Section("Rows without a balance", (note,), points=tuple(points))


def _row_words(found: Paired, row: int) -> str:
    """`row 14 (cases.csv:15)`, with its name where it has one."""
    names = next((one.texts for one in found.labels if one.name == "name"), None)
    named = f", {names[row]}" if names and names[row] else ""
    return f"row {row + 1}{named} ({found.places[row]})"
