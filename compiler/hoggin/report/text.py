"""Documents as plain text: terminal, Markdown and CSV."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Sequence

from hoggin.folding import WIDTH, wrapped
from hoggin.paint import Paint, plain
from hoggin.report.grid import drawn
from hoggin.report.tables import Document, Table, Value
from hoggin.report.wording import clean
from hoggin.visible import starts_formula

_MEASURE = 100  # columns that a paragraph takes at most: a longer line is hard to read


def terminal(document: Document, width: int = WIDTH, paint: Paint = plain) -> str:
    """The document for a terminal `width` columns wide; wider tables split by columns."""
    measure = min(width, _MEASURE)
    title = (paint("strong", line) for line in wrapped(clean(document.title), measure))
    lines = [*title, *wrapped(clean(document.subtitle), measure)]
    for section in document.sections:
        heading = wrapped(clean(section.heading).upper(), measure)
        lines += ["", *(paint("strong", line) for line in heading)]
        for note in section.notes:
            lines += wrapped(clean(note), measure)
        if section.table is not None:
            lines.append(drawn(section.table, width, paint))
        for point in section.points:
            lines += wrapped(f"- {clean(point)}", measure, hanging="  ")
    return "\n".join(lines) + "\n"


def markdown(document: Document, level: int = 1) -> str:
    """The document as Markdown with headings, the first at a level, and pipe tables."""
    sign = "#" * level
    parts = [f"{sign} {_escaped(document.title)}", _escaped(document.subtitle)]
    for section in document.sections:
        parts.append(f"{sign}# {_escaped(section.heading)}")
        parts += [_escaped(note) for note in section.notes]
        if section.table is not None:
            parts.append(_pipe_table(section.table))
        if section.points:
            parts.append("\n".join(f"- {_escaped(point)}" for point in section.points))
    return "\n\n".join(parts) + "\n"


# What programs that show Markdown make a link or a notice of though it has no sign of one: an
# address of the web or of mail, and a name after `@`.
_ADDRESS = re.compile(r"(?i)[a-z][a-z0-9+.-]*://|www\.|(?<=\S)@|@(?=\S)")


def _escaped(text: str) -> str:
    """Text that Markdown shows as it is: no emphasis, links, tables, headings or HTML. Addresses
    are shown as code, where programs leave them alone."""
    words = re.split(r"([ |])", clean(text))
    line = "".join(_code(word) if _ADDRESS.search(word) else _plain_word(word) for word in words)
    return re.sub(r"^([#>+\-=]+|\d+[.)])(?=\s|$)", _first_escaped, line)


def _plain_word(word: str) -> str:
    """`_` within a word, as in a tag, is no emphasis."""
    return re.sub(r"([\\`*~\[\]|<&]|(?<![^\W_])_|_(?![^\W_]))", r"\\\1", word)


def _code(word: str) -> str:
    """A word as code, between more backticks than it has."""
    fence = "`" * (1 + max(map(len, re.findall("`+", word)), default=0))
    gap = " " if "`" in word else ""
    return f"{fence}{gap}{word}{gap}{fence}"


def _first_escaped(found: re.Match[str]) -> str:
    """The first sign of a line, or that after a number, escaped: `\\#`, `1\\.`"""
    sign = found[1]
    return f"{sign[:-1]}\\{sign[-1]}" if sign[0].isdigit() else f"\\{sign}"


def _pipe_table(table: Table) -> str:
    """Columns as wide as their longest cell, so that the source reads as a table too."""
    columns = [
        [_escaped(column.full_heading), *(_escaped(text) for text in table.texts(place))]
        for place, column in enumerate(table.columns)
    ]
    padded = [
        _padded(cells, numeric=column.numeric)
        for cells, column in zip(columns, table.columns, strict=True)
    ]
    return "\n".join(f"| {' | '.join(row)} |" for row in zip(*padded, strict=True))


def _padded(cells: Sequence[str], *, numeric: bool) -> list[str]:
    """A column of a pipe table, with the rule that gives its side under its heading."""
    width = max(3, *map(len, cells))
    heading, *rest = [cell.rjust(width) if numeric else cell.ljust(width) for cell in cells]
    rule = "-" * (width - 1) + ":" if numeric else ":" + "-" * (width - 1)
    return [heading, rule, *rest]


def comma_separated(table: Table) -> str:
    """The table as CSV (RFC 4180), numbers to 9 significant digits, per cent as per cent.

    Text that a spreadsheet would run as a formula gets an apostrophe in front.
    """
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow([_guarded(column.full_heading) for column in table.columns])
    for row in table.rows:
        writer.writerow([_plain(c.number(v)) for c, v in zip(table.columns, row, strict=True)])
    return out.getvalue()


def rows_by_heading(table: Table) -> list[dict[str, Value]]:
    """The table as a program reads it: rows by heading, per cent as per cent."""
    return [
        {c.full_heading: c.number(value) for c, value in zip(table.columns, row, strict=True)}
        for row in table.rows
    ]


def _plain(value: Value) -> str:
    if value is None or (isinstance(value, float) and not math.isfinite(value)):
        return ""
    if isinstance(value, str):
        return _guarded(value)
    # Figures beyond nine places are the dust of arithmetic, which differs
    # between processors, and would be in every revision's diff.
    return f"{round(value, 9) + 0.0:.9g}"


def _guarded(text: str) -> str:
    line = clean(text)
    return f"'{line}" if starts_formula(text) else line
