"""The title block, with the fields of ISO 7200:2004 (from memory), and the revision table above it.

The block is 180 mm wide, as the standard has it. A field that the plant does not state stays blank,
to be filled by hand. No date is on the sheet that the plant's text does not state.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from hoggin.report.drawing.block import HEAVY, LINE, PAD, THIN, Block, outline, rule
from hoggin.report.drawing.diagram import Box
from hoggin.report.drawing.lettering import wrapped
from hoggin.report.drawing.model import Item, Words
from hoggin.report.wording import DEFERENCE, PREDICTION
from hoggin.schema.plant import Revision
from hoggin.schema.results import Results

WIDTH = 180.0
LABEL, TEXT, TITLE = 1.8, 2.5, 3.5  # sizes of type
KIND = "Process flow diagram"
UNITS = "Units: mm, t/h of dry solids, m3/h, kW. Not to scale."
SHORT_HASH = 12  # hex digits of the hash of the plant's text
MARK = 16.0  # width of the marks of the revision table
REVISION_PITCH = 4.0
MOST_REVISIONS = 6


@dataclass(frozen=True, slots=True)
class Cell:
    """A field of the title block, and how much of its row it takes."""

    label: str
    text: str
    share: float
    size: float = TEXT
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Place:
    """What sheet it is."""

    number: int
    of: int
    title: str  # of its part of the plant; "" for the whole plant
    paper: str


def corner(results: Results, place: Place) -> tuple[Block, ...]:
    """What is in the corner of a sheet, from the foot: the title block, then the revisions."""
    revisions = results.plant.revisions if results.plant else ()
    return (title_block(results, place), *filter(None, [revision_table(revisions)]))


def title_block(results: Results, place: Place) -> Block:
    """The title block of a sheet."""
    made = results.provenance
    source = results.source_file + (f", text {made.content_sha256[:SHORT_HASH]}" if made else "")
    rows: Sequence[tuple[float, tuple[Cell, ...]]] = (
        (8.5, (Cell("Legal owner", "", 60), Cell("Client", "", 60), Cell("Project", "", 60))),
        (
            8.5,
            (
                Cell("Created by", "", 40),
                Cell("Checked by", "", 40),
                Cell("Approved by", "", 40),
                Cell("Document status", "", 60),
            ),
        ),
        (
            15.0,
            (
                Cell("Title", results.title, 120, TITLE, bold=True),
                Cell("Document number", "", 60, TITLE, bold=True),
            ),
        ),
        (
            8.5,
            (
                Cell("Part", place.title or "whole plant", 60),
                Cell("Document type", KIND, 60),
                Cell("Revision", results.revision, 20, bold=True),
                Cell("Date of issue", "", 40),
            ),
        ),
        (
            8.5,
            (
                Cell("Made from", f"{source}, compiler {results.compiler_version}", 120),
                Cell("Paper", place.paper, 20),
                Cell("Sheet", f"{place.number} of {place.of}", 40, bold=True),
            ),
        ),
    )
    items: list[Item] = []
    y = 0.0
    for height, cells in rows:
        items += _row(cells, y, height)
        y += height
        items.append(rule((0, y), (WIDTH, y), LINE))
    said = (f"{PREDICTION} {DEFERENCE}", UNITS)
    for line, bold in zip(said, (True, False), strict=True):
        items.append(Words(line, (PAD, y + 3.0), "table", 2.0, bold=bold))
        y += 3.0
    y += 1.2
    items.append(outline(Box(0, 0, WIDTH, y), HEAVY))
    return Block("title block", WIDTH, y, tuple(items))


def _row(cells: Sequence[Cell], y: float, height: float) -> Iterator[Item]:
    x = 0.0
    for cell in cells:
        if x:
            yield rule((x, y), (x, y + height), LINE)
        yield Words(cell.label, (x + PAD, y + 2.4), "table", LABEL)
        room = cell.share - 2 * PAD
        most = max(1, int((height - 2.8) // (1.25 * cell.size)))
        for n, line in enumerate(wrapped(cell.text, room, cell.size, most, bold=cell.bold)):
            at = (x + PAD, y + 3.4 + cell.size * (1.05 + 1.25 * n))
            yield Words(line, at, "table", cell.size, bold=cell.bold)
        x += cell.share


def revision_table(revisions: Sequence[Revision]) -> Block | None:
    """What changed, the latest at the foot, beside the title block; None without revisions."""
    if not revisions:
        return None
    left_out = len(revisions) - MOST_REVISIONS
    lines = [(one.mark, one.text) for one in revisions]
    if left_out > 0:
        lines = [("", f"and {left_out + 1} before these"), *lines[left_out + 1 :]]
    items: list[Item] = []
    y = 0.0
    for n, (mark, text) in enumerate((("Revision", "What changed"), *lines)):
        base = y + 2.9
        for x, room, words in ((0.0, MARK, mark), (MARK, WIDTH - MARK, text)):
            shown = wrapped(words, room - 2 * PAD, 2.0, 1, bold=not n)
            items += [Words(s, (x + PAD, base), "table", 2.0, bold=not n) for s in shown]
        y += REVISION_PITCH
        items.append(rule((0, y), (WIDTH, y), THIN if n else LINE))
    items[-1] = rule((MARK, 0), (MARK, y), THIN)
    items.append(outline(Box(0, 0, WIDTH, y), LINE))
    return Block("revisions", WIDTH, y, tuple(items))
