"""Converts offsets in a text to the protocol's lines and columns, and back.

A column counts the code units of the encoding that client and server agreed on; UTF-16 by default.
Only line feeds end a line: documents are read with their line ends converted.
"""

from __future__ import annotations

from typing import Literal

from hoggin.diagnostics.source import Source

Encoding = Literal["utf-8", "utf-16", "utf-32"]
Position = tuple[int, int]  # line and column, from 0


def position_of(source: Source, offset: int, encoding: Encoding = "utf-16") -> Position:
    """The line and column of an offset; one outside the text is the nearest in it."""
    offset = max(0, min(offset, len(source.text)))
    line, column = source.line_column(offset)
    before = source.text[offset - column + 1 : offset]
    return line - 1, units(before, encoding)


def offset_of(source: Source, position: Position, encoding: Encoding = "utf-16") -> int:
    """The offset of a line and column; beyond a line's end it is the end, beyond the last line the
    end of the text, within a character its start."""
    line, column = position
    if line < 0:
        return 0
    if line > source.text.count("\n"):
        return len(source.text)
    start = source.offset(line + 1, 1)
    text = source.line_text(line + 1)
    if text.isascii():
        return start + max(0, min(column, len(text)))
    count = 0
    for index, letter in enumerate(text):
        count += units(letter, encoding)
        if count > column:
            return start + index
    return start + len(text)


def units(text: str, encoding: Encoding) -> int:
    """How many code units a text takes."""
    if encoding == "utf-32" or text.isascii():
        return len(text)
    if encoding == "utf-16":
        return len(text) + sum(letter > "\uffff" for letter in text)
    return len(text.encode("utf-8", "surrogatepass"))


def plain(text: str) -> str:
    """A document's text as the compiler reads it, with every line and column where it was."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    return " " + text[1:] if text.startswith("\ufeff") else text
