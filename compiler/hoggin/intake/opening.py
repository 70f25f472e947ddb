"""Opens the sheet that the command line names, as `lab.xlsx:Gradings`."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from hoggin.errors import HogginError
from hoggin.intake.comma_separated import read_comma_separated
from hoggin.intake.sheet import Sheet
from hoggin.intake.workbook import Workbook
from hoggin.report.wording import clean
from hoggin.world import named, read_bytes

_CSV = (".csv", ".txt", ".tsv")


def split(written: str) -> tuple[Path, str]:
    """The file and, after a colon, the sheet; a file whose own name has the colon goes first."""
    name, colon, title = written.rpartition(":")
    if colon and name.lower().endswith(".xlsx") and not Path(written).exists():
        return Path(name), title
    return Path(written), ""


def open_sheet(written: str, holds: Callable[[Sheet], bool]) -> tuple[Path, Sheet]:
    """The file's path and its sheet. Of a workbook with several sheets, the named one, or the only
    one that `holds` what is wanted.

    Raises HogginError.
    """
    path, title = split(written)
    kind = path.suffix.lower()
    if kind not in (*_CSV, ".xlsx"):
        raise HogginError(f"`{path}` is not .xlsx or .csv; save it as one of these")
    with named(path):
        data = read_bytes(path)
    shown = clean(path.name)
    if kind != ".xlsx":
        return path, read_comma_separated(shown, data)
    book = Workbook(shown, data)
    if title:
        return path, book.sheet(title)
    titles = book.titles
    if len(titles) == 1:
        return path, book.sheet(titles[0])
    holding = [sheet for sheet in map(book.sheet, titles) if holds(sheet)]
    if not any(book.sheet(title).rows for title in titles):
        raise HogginError(f"`{path}` has no sheet with cells")
    if len(holding) != 1:
        sample = f"{path}:{titles[0] if titles else 'NAME'}"
        raise HogginError(
            f"`{path}` has several sheets: name one, as `{sample}`; {book.named_sheets()}"
        )
    return path, holding[0]
