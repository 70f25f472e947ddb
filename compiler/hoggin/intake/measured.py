"""What a workbook would take to read, found without reading it: bytes, and cells.

A few bytes can state millions of cells: the library makes one for each that a merged range or a
link covers.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from xml.parsers.expat import ExpatError, ParserCreate

from hoggin.errors import HogginError
from hoggin.intake.sheet import MOST_CELLS

MOST_BYTES = 40_000_000  # of all parts, unpacked
_MOST_WRITTEN = 2 * MOST_CELLS  # cells of all sheets
_RANGE = re.compile(r"\$?([A-Za-z]*)\$?(\d*)")
_LAST_ROW, _LAST_COLUMN = 1_048_576, 16_384  # of any sheet (ECMA-376)


class Measured:
    """Sums over the parts of a workbook. `part` raises HogginError where they are too many."""

    def __init__(self, file: str) -> None:
        self._file = file
        self._bytes = self._written = self._covered = 0

    def part(self, name: str, pieces: Iterator[bytes]) -> None:
        """Count a part, whatever it is called. What is not XML, as a picture, has no cells."""
        parser = ParserCreate(namespace_separator=" ")
        parser.StartElementHandler = self._element
        parser.StartDoctypeDeclHandler = lambda *_: self._refuse_entities(name)
        is_xml = True
        for piece in pieces:
            self._bytes += len(piece)
            self._check(self._bytes, MOST_BYTES, "bytes unpacked")
            if is_xml:
                try:
                    parser.Parse(piece)
                except ExpatError:
                    is_xml = False

    def _element(self, name: str, attributes: Mapping[str, str]) -> None:
        kind = name.rpartition(" ")[2]
        if kind == "c":
            self._written += 1
            self._check(self._written, _MOST_WRITTEN, "cells")
        elif kind in ("mergeCell", "hyperlink"):
            self._covered += _cells_of(attributes.get("ref", ""))
            self._check(self._covered, MOST_CELLS, "cells that are merged or linked")

    def _check(self, found: int, most: int, what: str) -> None:
        if found > most:
            raise HogginError(f"`{self._file}` is too large: the limit is {most:,} {what}")

    def _refuse_entities(self, part: str) -> None:
        raise HogginError(f"`{self._file}` is not an .xlsx workbook: `{part}` defines entities")


def _cells_of(reference: str) -> int:
    """The number of cells of a range, as `A1:C5`; `A:C` are whole columns, `1:5` whole rows."""
    first, _, last = reference.partition(":")
    ends = [_RANGE.fullmatch(end) for end in (first, last or first)]
    if ends[0] is None or ends[1] is None:
        return 1  # the library refuses it
    columns = [_column(end[1]) if end[1] else _LAST_COLUMN for end in ends if end]
    rows = [int(end[2]) if end[2] else _LAST_ROW for end in ends if end]
    if not ends[0][1]:
        columns[0] = 1
    if not ends[0][2]:
        rows[0] = 1
    return (abs(columns[1] - columns[0]) + 1) * (abs(rows[1] - rows[0]) + 1)


def _column(letters: str) -> int:
    number = 0
    for letter in letters.upper()[:4]:
        number = 26 * number + ord(letter) - ord("A") + 1
    return number
