"""A value that is put into a plant, and where it is stated."""

from __future__ import annotations

from dataclasses import dataclass

CASE = "case"  # a word of the language: nothing else is called so


@dataclass(frozen=True, slots=True)
class Cell:
    """A place in a table: `text` is the whole of its line, lines and columns count from 1."""

    line: int
    column: int
    length: int
    text: str


@dataclass(frozen=True, slots=True)
class Varied:
    """One value of a grid or of a site: what is varied, the value as text of the language, and
    where it says so; for a site also the cells of the value and of its heading."""

    name: str  # of a `let`, or as "tertiary.css"; CASE for one of the plant's own cases
    value: str
    file: str
    line: int
    cell: Cell | None = None
    heading: Cell | None = None
