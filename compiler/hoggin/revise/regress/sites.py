"""A table of sites: a plant's file once, and a row of its own values for each site.

The first column holds the sites' names. Each other column is headed by a setting, as `vary` names
it, with or without a unit: `tertiary.css (mm)`. An empty cell leaves what the plant's file states.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from hoggin.diagnostics.source import Source
from hoggin.revise.regress.varied import Cell, Varied
from hoggin.revise.regress.vary import missing
from hoggin.world import UnreadableError, decoded, read_bytes

SUFFIX = ".csv"
MOST_SITES = 10_000
_DELIMITERS = (";", "\t", ",")  # a comma may be a decimal sign where one of the others is found
_HEADING = re.compile(
    r"([A-Za-z_]\w*(?:\.[A-Za-z_]\w*)?)\s*(?:[(\[]\s*([^()\[\]]+?)\s*[)\]])?", re.A
)
_NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)")


@dataclass(frozen=True, slots=True)
class Site:
    name: str
    varied: tuple[Varied, ...]


@dataclass(frozen=True, slots=True)
class Sites:
    """A plant and its sites, each a case."""

    plant: Path
    sites: tuple[Site, ...]


@dataclass(frozen=True, slots=True)
class _Column:
    name: str
    unit: str
    cell: Cell


def read_sites(path: Path, shown: str, plant: Path) -> tuple[tuple[Site, ...], list[str]]:
    """The sites of a table, and its faults, each led by file, row and column; `shown` is the
    table's name in messages."""
    try:
        text = decoded(read_bytes(path))
    except UnreadableError as fault:
        return (), [f"{shown}: {fault}"]
    reading = _Reading(shown, plant)
    return reading.sites(_rows(Source(shown, text))), reading.faults


class _Reading:
    """Reads the rows of one table, and gathers their faults."""

    def __init__(self, shown: str, plant: Path) -> None:
        self._shown = shown
        self._plant = plant
        self.faults: list[str] = []

    def sites(self, rows: list[list[tuple[str, Cell]]]) -> tuple[Site, ...]:
        if len(rows) < 2 or len(rows) > MOST_SITES + 1:
            some = "no rows of sites" if len(rows) < 2 else f"more than {MOST_SITES:,} sites"
            self.faults.append(f"{self._shown}:1:1: the table has {some}")
            return ()
        columns = self._columns(rows[0])
        found: dict[str, Cell] = {}
        sites = [self._site(row, columns, found) for row in rows[1:]]
        return tuple(site for site in sites if site is not None)

    def _columns(self, heading: list[tuple[str, Cell]]) -> list[_Column | None]:
        """The columns after the first; None for one at fault."""
        found: list[_Column | None] = []
        for text, cell in heading[1:]:
            read = _HEADING.fullmatch(text)
            if read is None:
                self._fault(cell, f"`{text}` is not the name of a setting, as `tertiary.css (mm)`")
            elif any(column and column.name == read[1] for column in found):
                self._fault(cell, f"`{read[1]}` is the heading of two columns")
            elif lacking := missing(self._plant, read[1]):
                self._fault(cell, lacking)
            else:
                found.append(_Column(read[1], read[2] or "", cell))
                continue
            found.append(None)
        return found

    def _site(
        self, row: list[tuple[str, Cell]], columns: list[_Column | None], found: dict[str, Cell]
    ) -> Site | None:
        (name, first), *others = row
        if len(others) != len(columns):
            wanted, has = len(columns) + 1, len(others) + 1
            self._fault(first, f"the row has {has} cells, the heading {wanted}")
        elif not name:
            self._fault(first, "the row does not name its site")
        elif not name.isprintable():
            self._fault(first, "the site's name has invisible characters")
        elif name in found:
            self._fault(first, f"the site `{name}` is already in line {found[name].line}")
        else:
            found[name] = first
            pairs = zip(columns, others, strict=True)
            return Site(name, tuple(self._varied(c, t, at) for c, (t, at) in pairs if c and t))
        return None

    def _varied(self, column: _Column, text: str, cell: Cell) -> Varied:
        bare = column.unit and _NUMBER.fullmatch(text)
        value = f"{text} {column.unit}" if bare else text
        return Varied(column.name, value, self._shown, cell.line, cell, column.cell)

    def _fault(self, cell: Cell, message: str) -> None:
        self.faults.append(f"{self._shown}:{cell.line}:{cell.column}: {message}")


def _rows(source: Source) -> list[list[tuple[str, Cell]]]:
    """The cells of each row that is not empty, as RFC 4180 has them, with their places."""
    text = source.text
    heading = text.partition("\n")[0]
    sign = re.escape(next((d for d in _DELIMITERS if d in heading), ","))
    pattern = re.compile(rf'(?:[ \t]*"((?:[^"]|"")*)"[ \t]*|([^{sign}\n]*))({sign}|\n|\Z)')
    rows: list[list[tuple[str, Cell]]] = [[]]
    at = 0
    while at < len(text):
        read = pattern.match(text, at)
        assert read is not None, "a cell may be empty"
        content = read[2] if read[1] is None else read[1].replace('""', '"')
        line, column = source.line_column(at)
        length = max(1, read.start(3) - at)
        cell = Cell(line, column, length, source.line_text(line))
        rows[-1].append((" ".join(content.split()), cell))
        at = read.end()
        if read[3] == "\n":
            rows.append([])
    return [row for row in rows if any(content for content, _ in row)]
