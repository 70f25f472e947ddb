"""The report on paper: a PDF of A4 pages and drawings on A3, set by Typst with one font that comes
along. Chapters follow each other on a page; one with wide tables has its pages on their side.

The same report gives the same bytes on every machine: fonts of the system are left out, no file
is read but the template, and no time is stamped in.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from importlib.resources import files
from itertools import groupby
from math import fsum
from typing import Any

from hoggin.errors import HogginError
from hoggin.report.drawing import typeset
from hoggin.report.package.columns import SIZES_PT, Laid, breakable, laid, lines
from hoggin.report.package.content import Chapter, Report
from hoggin.report.package.figures import Figure
from hoggin.report.tables import Section
from hoggin.report.wording import DEFERENCE, shorten

FONT_PACKAGE = "fontpkg_arimo"
SCRIPTS = ("LATIN", "GREEK", "CYRILLIC", "HEBREW", "MICRO", "FEMININE", "MASCULINE")
BOXES = "Letters that the fonts of this PDF lack are drawn as boxes; report.html shows them."
A4_MM = (210.0, 297.0)
MARGIN_MM = 15.0  # as in the template
TITLE_LETTERS, SAID_LETTERS = 160, 300  # of the title, and of a line of the title block
GAP_PT = 20.0  # between sections side by side, as in the template
NARROW = 0.52  # of the page's width: what is narrower may be beside another
SHORT_LINES = 38  # of a section that is beside another
WHOLE_LINES = 16  # of a table that is not broken over two pages
HEADING_LINES = 4  # of a section: its heading and that of its table
SHEET_PT = (8.0, 7.5, 7.0)  # text of a data sheet, which is one page ...
SHEET_LINES = 104  # ... of so many lines of the largest
USUAL_PT, CROWDED = 8.0, 4.5  # least text, and lines a row, of a table on an upright page
NOTE_PT = 9.0  # size of a note's text
LEAST_NOTE_PT = 280.0  # width of a section whose table is narrower
SMALLEST_PT, LARGEST_PT = 6.0, 10.0  # of text in a plot
PLOT_ROOM_PT = (510.0, 345.0)  # of one of two plots on a page ...
TALL_ROOM_PT = (510.0, 720.0)  # ... and of one that has it to itself, for a long key


def pdf(report: Report) -> bytes:
    """The report's bytes. Raises: HogginError when it cannot be set."""
    import typst

    fonts = typst.Fonts(
        include_system_fonts=False,
        include_embedded_fonts=True,  # for signs that the first font lacks
        font_paths=[str(files(FONT_PACKAGE) / "files")],
    )
    try:
        return typst.compile(
            typeset.template("report.typ", "hoggin.report.package"),
            format="pdf",
            font_paths=fonts,
            ignore_system_fonts=True,
            sys_inputs={"report": _told(report)},
            timestamp=0,
        )
    except typst.TypstError as error:
        raise HogginError(f"the report can't be typeset: {error.message}") from error


def _told(report: Report) -> str:
    """The facts as JSON, with a word on the front sheet where letters will be missing."""
    facts = _facts(report)
    letters = set(json.dumps(facts, ensure_ascii=False))
    if any(map(_foreign, letters)):
        facts["remarks"].append(BOXES)
    return json.dumps(facts, sort_keys=True)


def _foreign(letter: str) -> bool:
    """Whether a letter is of a script that the fonts lack."""
    name = unicodedata.name(letter, "") if letter.isalpha() else SCRIPTS[0]
    return name.split(" ")[0] not in SCRIPTS


def _facts(report: Report) -> dict[str, Any]:
    """What the template reads: texts on one line each, lengths in points."""
    return {
        "title": breakable(shorten(report.title, TITLE_LETTERS)),
        "block": [[label, breakable(shorten(text, SAID_LETTERS))] for label, text in report.block],
        "front": list(_rows(report.front, _room_pt(A4_MM))),
        "foot": breakable(report.foot),
        "statement": report.statement,
        "governs": DEFERENCE,
        "units": report.units,
        "remarks": [],
        "runs": list(_runs(report.chapters)),
    }


def _runs(chapters: Sequence[Chapter]) -> Iterator[dict[str, Any]]:
    """Chapters that follow each other on pages of one size. A drawing has its own sheets, data
    sheets begin a page, and a chapter whose tables do not fit an upright page has its pages on
    their side."""
    for (paper, _), run in groupby(chapters, lambda one: (_paper(one), bool(one.sheets))):
        told = [_chapter(chapter, _room_pt(paper or A4_MM)) for chapter in run]
        across, down = paper or A4_MM
        yield {"across_mm": across, "down_mm": down, "drawn": paper is None, "chapters": told}


def _paper(chapter: Chapter) -> tuple[float, float] | None:
    """The size of a chapter's pages in mm; None for a drawing, whose sheets have their own."""
    if chapter.drawing is not None:
        return None
    upright = all(_fits(section, _room_pt(A4_MM)) for section in chapter.sections)
    return A4_MM if upright else (A4_MM[1], A4_MM[0])


def _fits(section: Section, room: float) -> bool:
    """Whether its table fits in one piece and in text of a usual size."""
    if section.table is None:
        return True
    runs = laid(section.table, room)
    return len(runs) == 1 and runs[0].size_pt >= USUAL_PT and not _crowded(runs[0])


def _crowded(run: Laid) -> bool:
    """Whether many of its rows are broken over several lines."""
    return run.lines > CROWDED * max(1, len(run.rows))


def _room_pt(paper: tuple[float, float]) -> float:
    return _points(paper[0] - 2 * MARGIN_MM)


def _chapter(chapter: Chapter, room: float) -> dict[str, Any]:
    return {
        "heading": chapter.heading,
        "drawing": chapter.drawing and typeset.facts(chapter.drawing),
        "cautions": [breakable(caution) for caution in chapter.cautions],
        "plots": [_figure(figure, _plot_scale(figure)) for figure in chapter.figures],
        "rows": list(_rows(chapter.sections, room)),
        "sheets": [
            {"title": breakable(sheet.title), "rows": list(_stacked(sheet.sections, room))}
            for sheet in chapter.sheets
        ],
    }


# --- plots


def _scale(figure: Figure, room_pt: tuple[float, float]) -> float:
    """To fill the room, but no larger than reads well."""
    fills = min(room_pt[0] / figure.width_pt, room_pt[1] / figure.height_pt)
    return min(fills, LARGEST_PT / figure.smallest_pt)


def _plot_scale(figure: Figure) -> float:
    """Two to a page, or as large as is legible where that is more and the page can hold it."""
    legible = SMALLEST_PT / figure.smallest_pt
    return min(max(_scale(figure, PLOT_ROOM_PT), legible), _scale(figure, TALL_ROOM_PT))


def _figure(figure: Figure, scale: float) -> dict[str, Any]:
    return {"svg": figure.svg, "told": figure.told, "width_pt": round(figure.width_pt * scale, 1)}


# --- sections


def _rows(sections: Sequence[Section], room: float) -> Iterator[list[list[dict[str, Any]]]]:
    """Sections down the page, short and narrow ones side by side: rows of columns of sections."""
    waiting: list[dict[str, Any]] = []
    for section in sections:
        told = _section(section, room)
        beside = [*waiting, told]
        if waiting and not (all(one["narrow"] for one in beside) and _across(beside) <= room):
            yield [[one] for one in waiting]
            beside = [told]
        waiting = beside
    if waiting:
        yield [[one] for one in waiting]


def _stacked(sections: Sequence[Section], room: float) -> Iterator[list[list[dict[str, Any]]]]:
    """The sections of one page: narrow ones in two columns of about one height, then the rest."""
    told = _tight(sections, room)
    stacks: tuple[list[dict[str, Any]], ...] = ([], [])
    for one in told:
        if one["narrow"]:
            shortest = min(stacks, key=lambda stack: sum(each["lines"] for each in stack))
            shortest.append(one)
    if any(stacks):
        yield [stack for stack in stacks if stack]
    yield from ([[one]] for one in told if not one["narrow"])


def _tight(sections: Sequence[Section], room: float) -> list[dict[str, Any]]:
    """Sections in text so small that they fit one page, as far as it stays legible."""
    told: list[dict[str, Any]] = []
    for size in SHEET_PT:
        told = [_section(section, room, size) for section in sections]
        narrow = sum(one["lines"] for one in told if one["narrow"])
        wide = sum(one["lines"] for one in told if not one["narrow"])
        if (narrow / 2 + wide) * size <= SHEET_LINES * SHEET_PT[0]:
            break
    return told


def _across(sections: list[dict[str, Any]]) -> float:
    widths = (float(section["width_pt"]) for section in sections)
    return fsum(widths) + GAP_PT * (len(sections) - 1)


def _section(section: Section, room: float, largest_pt: float = SIZES_PT[0]) -> dict[str, Any]:
    runs = laid(section.table, room, largest_pt) if section.table and section.has_rows else ()
    width = max((run.width_pt for run in runs), default=room)
    width_pt = max(width, LEAST_NOTE_PT) if section.notes else width
    height = sum(lines(note, width_pt / NOTE_PT) for note in section.notes)
    height += sum(run.lines for run in runs)
    short = len(runs) == 1 and not section.points and height <= SHORT_LINES
    return {
        "heading": section.heading,
        "notes": [breakable(note) for note in section.notes],
        "points": [breakable(point) for point in section.points],
        "runs": [_table(run) for run in runs],
        "lines": height + HEADING_LINES,
        "narrow": short and width <= NARROW * room,
        "width_pt": width_pt,
    }


def _table(run: Laid) -> dict[str, Any]:
    return {
        "size_pt": run.size_pt,
        "whole": run.lines <= WHOLE_LINES,
        "widths_pt": list(run.widths_pt),
        "rights": list(run.rights),
        "headings": [list(heading) for heading in run.headings],
        "rows": [list(map(asdict, row)) for row in run.rows],
    }


def _points(mm: float) -> float:
    return mm * 72 / 25.4
