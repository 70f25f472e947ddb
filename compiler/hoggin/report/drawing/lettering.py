"""How wide words are in the font of the drawings, and how they are cut or broken to fit a room.

The widths are those of Arimo, which has the widths of Helvetica. Fonts of the same widths are on
most machines, so the SVG and the DXF look the same as the PDF.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from importlib.resources import files
from math import fsum

from hoggin.report.wording import clean

FONT_PACKAGE = "fontpkg_arimo"
CAPITAL = 0.716  # height of a capital letter in sizes of the type
ELLIPSIS = "…"
_BOLDER = 0.056  # what a bold letter has more, in sizes: the most of any letter but i, j and l
_MISSING = 1.0  # width of a letter that the font lacks, in sizes: scripts of wide letters
_JOINT = re.compile(r"[^ ._/\-:,]*[ ._/\-:,]*")


def width_of(text: str, size: float, *, bold: bool = False) -> float:
    """Width of one line of text, in the unit of its size."""
    return size * (_ems(text) + (_BOLDER * len(text) if bold else 0.0))


@lru_cache(maxsize=1 << 14)
def _ems(text: str) -> float:
    """Width in sizes of the type; kept, because a table is tried in several sizes."""
    widths = _widths()
    return fsum(widths.get(ord(letter), _MISSING) for letter in text)


@lru_cache(maxsize=1)
def _widths() -> Mapping[int, float]:
    from fontTools.ttLib import TTFont

    path = files(FONT_PACKAGE) / "files" / "Arimo[wght].ttf"
    with TTFont(str(path), lazy=True) as font:
        units, advances = font["head"].unitsPerEm, font["hmtx"].metrics
        return {code: advances[name][0] / units for code, name in font.getBestCmap().items()}


def fitted(text: str, room: float, size: float, *, bold: bool = False) -> str:
    """The text on one line of the room; one that is too long ends with an ellipsis."""
    line = clean(text)
    if width_of(line, size, bold=bold) <= room:
        return line
    kept, end = "", width_of(ELLIPSIS, size, bold=bold)
    for letter in line:
        if width_of(kept + letter, size, bold=bold) + end > room:
            break
        kept += letter
    return kept.rstrip() + ELLIPSIS


def wrapped(
    text: str, room: float, size: float, most: int, *, bold: bool = False
) -> tuple[str, ...]:
    """The text on as many lines as it needs, `most` at most, broken between words and after the
    joints of names: `left_`, `sizing.`, `under`. What does not fit ends with an ellipsis."""
    rest = clean(text)
    lines: list[str] = []
    while rest and len(lines) < most - 1:
        line = ""
        for piece in _JOINT.findall(rest):
            if line and width_of((line + piece).rstrip(), size, bold=bold) > room:
                break
            line += piece
        lines.append(fitted(line, room, size, bold=bold))
        rest = rest[len(line) :].lstrip()
    return (*lines, fitted(rest, room, size, bold=bold)) if rest else tuple(lines)
