"""Documents as plain text: terminal, Markdown and CSV."""

from __future__ import annotations

import csv
import io
import math
import re
import textwrap
from collections.abc import Iterator, Sequence
from itertools import zip_longest

from hoggin.report.tables import Column, Document, Section, Table, Value
from hoggin.report.wording import clean
from hoggin.visible import starts_formula

GAP = 2  # blanks between two columns of a terminal table


def terminal(document: Document, width: int = 120) -> str:
    """The document for a terminal `width` columns wide; wider tables split by columns."""
    title = textwrap.fill(clean(document.title), width)
    subtitle = textwrap.fill(document.subtitle, width)
    parts = [title, subtitle]
    for section in document.sections:
        parts += ["", clean(section.heading).upper(), *_terminal_section(section, width)]
    return "\n".join(parts) + "\n"


def _terminal_section(section: Section, width: int) -> Iterator[str]:
    for note in section.notes:
        yield textwrap.fill(clean(note), width)
    if section.table is not None:
        blocks = [_grid(block) for block in split_to_width(section.table, width)]
        yield "\n\n".join(blocks)
    for point in section.points:
        yield textwrap.fill(clean(point), width, initial_indent="- ", subsequent_indent="  ")


def _cells(table: Table, place: int) -> list[str]:
    """A column for a terminal: words wrapped, numbers with their points under each other."""
    column, texts = table.columns[place], table.texts(place)
    if not column.numeric:
        return [textwrap.fill(text, column.width, break_long_words=True) for text in texts]
    pads = (" " * len(pad) for pad in table.pads(place))
    return [text + pad for text, pad in zip(texts, pads, strict=True)]


def _heading(column: Column) -> str:
    heading = textwrap.fill(column.heading, 10, break_long_words=False)
    return f"{heading}\n{column.unit}" if column.unit else heading


def _drawn_width(table: Table, place: int) -> int:
    cells = [_heading(table.columns[place]), *_cells(table, place)]
    return max(len(line) for cell in cells for line in cell.split("\n"))


def split_to_width(table: Table, width: int) -> tuple[Table, ...]:
    """The table in the fewest blocks no wider than `width`, each led by the key columns.

    Blocks are of about the same width. Each has at least one column beside its keys, so that a
    narrow terminal still shows all.
    """
    widths = [_drawn_width(table, place) + GAP for place in range(len(table.columns))]
    room = width + GAP - sum(widths[: table.keys])
    blocks = _packed(widths, table.keys, room)
    for less in range(room - 1, 0, -1):
        tighter = _packed(widths, table.keys, less)
        if len(tighter) > len(blocks):
            break
        blocks = tighter
    return tuple(table.keep([*range(table.keys), *block]) for block in blocks)


def _packed(widths: list[int], first: int, room: int) -> list[list[int]]:
    """Places from `first` on in runs that fit the room, or of one where even that is too wide."""
    blocks: list[list[int]] = [[]]
    used = 0
    for place in range(first, len(widths)):
        if blocks[-1] and used + widths[place] > room:
            blocks.append([])
            used = 0
        blocks[-1].append(place)
        used += widths[place]
    return blocks


def _grid(table: Table) -> str:
    places = range(len(table.columns))
    widths = [_drawn_width(table, place) for place in places]
    columns = [
        [_heading(table.columns[place]), "-" * widths[place], *_cells(table, place)]
        for place in places
    ]
    rows = zip(*columns, strict=True)
    return "\n".join(line for row in rows for line in _lines(table, row, widths))


def _lines(table: Table, row: Sequence[str], widths: Sequence[int]) -> Iterator[str]:
    """The lines of a row, each cell to its side."""
    for parts in zip_longest(*(cell.split("\n") for cell in row), fillvalue=""):
        cells = (
            part.rjust(width) if column.numeric else part.ljust(width)
            for part, width, column in zip(parts, widths, table.columns, strict=True)
        )
        yield (" " * GAP).join(cells).rstrip()


def _alignment(table: Table) -> list[str]:
    return ["right" if column.numeric else "left" for column in table.columns]


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
    from tabulate import tabulate

    cells = [
        [_escaped(column.text(value)) for column, value in zip(table.columns, row, strict=True)]
        for row in table.rows
    ]
    return tabulate(
        cells,
        headers=[_escaped(column.full_heading) for column in table.columns],
        tablefmt="pipe",
        colalign=_alignment(table) if cells else None,
        disable_numparse=True,
    )


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
