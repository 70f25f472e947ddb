"""The title block, with the fields of ISO 7200:2004 (from memory), and the revision table above it.

The block is 180 mm wide, as the standard has it. A field that the plant does not state stays blank,
to be filled by hand. No date is on the sheet that the plant's text does not state.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate

from hoggin.report.drawing.block import HEAVY, LINE, PAD, THIN, Block, outline, rule
from hoggin.report.drawing.diagram import Box
from hoggin.report.drawing.lettering import fitted, wrapped
from hoggin.report.drawing.model import Item, Words
from hoggin.report.wording import DEFERENCE, PREDICTION
from hoggin.schema.plant import Revision
from hoggin.schema.results import Results

WIDTH = 180.0
LABEL, TEXT, TITLE = 1.8, 2.5, 3.5  # sizes of type
KIND = "Process flow diagram"
UNITS = "Units: mm, t/h of dry solids, m3/h, kW. Not to scale."
SHORT_HASH = 12  # hex digits of the hash of the plant's text
SMALL = 2.0  # size of the revision table's type
REVISION = (
    ("mark", "Rev.", 10.0),
    ("date", "Date", 20.0),
    ("text", "What changed", 90.0),
    ("drawn", "Drawn", 20.0),
    ("checked", "Checked", 20.0),
    ("approved", "Approved", 20.0),
)  # what a line has of a revision, its heading and its width
REVISION_TEXT = 2  # the place of what changed
REVISION_PITCH = 3.8
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
    kind: str = KIND


def corner(results: Results, place: Place) -> tuple[Block, ...]:
    """What is in the corner of a sheet, from the foot: the title block, then the revisions."""
    revisions = results.plant.revisions if results.plant else ()
    return (title_block(results, place), *filter(None, [revision_table(revisions)]))


def title_block(results: Results, place: Place) -> Block:
    """The title block of a sheet."""
    project, issue = results.project, _issue(results)
    made = results.provenance
    source = results.source_file + (f", text {made.content_sha256[:SHORT_HASH]}" if made else "")
    compiler = f"compiler {results.compiler_version}"
    rows: Sequence[tuple[float, tuple[Cell, ...]]] = (
        (
            7.6,
            (
                Cell("Legal owner", project.owner, 60),
                Cell("Client", project.client, 60),
                Cell("Project", project.name, 60),
            ),
        ),
        (
            7.6,
            (
                Cell("Created by", issue.drawn or project.drawn, 40),
                Cell("Checked by", issue.checked or project.checked, 40),
                Cell("Approved by", issue.approved or project.approved, 40),
                Cell("Document status", project.status, 60),
            ),
        ),
        (
            13.0,
            (
                Cell("Title", results.title, 120, TITLE, bold=True),
                Cell("Document number", project.document_number, 60, TITLE, bold=True),
            ),
        ),
        (
            7.6,
            (
                Cell("Part", place.title or "whole plant", 60),
                Cell("Document type", place.kind, 60),
                Cell("Revision", results.revision, 20, bold=True),
                Cell("Date of issue", issue.date, 40),
            ),
        ),
        (
            7.6,
            (
                Cell("Made from", f"{source}, {compiler}", 120),
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


def _issue(results: Results) -> Revision:
    """The revision that is issued, as the plant's list has it."""
    listed = results.plant.revisions if results.plant else ()
    blank = Revision(mark=results.revision, text="")
    return next((one for one in listed if one.mark == results.revision), blank)


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
    shown = revisions[-MOST_REVISIONS:]
    earlier = len(revisions) - len(shown)
    lines = [[getattr(one, name) for name, _, _ in REVISION] for one in shown]
    headings = [heading for _, heading, _ in REVISION]
    if earlier:
        headings[REVISION_TEXT] += f" ({earlier} earlier not shown)"
    lines.insert(0, headings)
    items: list[Item] = []
    height = REVISION_PITCH * len(lines)
    for n, line in enumerate(lines):
        x, y = 0.0, REVISION_PITCH * n
        for text, (_, _, share) in zip(line, REVISION, strict=True):
            said = fitted(text, share - 2 * PAD, SMALL, bold=not n)
            items.append(Words(said, (x + PAD, y + 2.7), "table", SMALL, bold=not n))
            x += share
        if n:
            items.append(rule((0, y), (WIDTH, y), LINE if n == 1 else THIN))
    for x in accumulate(share for _, _, share in REVISION[:-1]):
        items.append(rule((x, 0), (x, height)))
    items.append(outline(Box(0, 0, WIDTH, height), LINE))
    return Block("revisions", WIDTH, height, tuple(items))
