"""The frame of a sheet after ISO 5457:1999, from memory: filing margin of 20 mm, margins of 10 mm,
frame of 0.7 mm, centring marks, and a grid of fields of 50 mm from the middle of each side, letters
down and numbers across, without I and O. Trimming marks are left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from hoggin.report.drawing.block import HEAVY, LINE, outline, rule
from hoggin.report.drawing.diagram import Box
from hoggin.report.drawing.lettering import CAPITAL
from hoggin.report.drawing.model import Item, Words

PAPERS_MM = {
    "A4": (297.0, 210.0), "A3": (420.0, 297.0), "A2": (594.0, 420.0),
    "A1": (841.0, 594.0), "A0": (1189.0, 841.0),
}  # fmt: skip
FILING, MARGIN = 20.0, 10.0
BORDER = 5.0  # of the grid, outside the frame
FIELD = 50.0
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
LETTER = 2.5  # size of letters and numbers of the grid; the standard has 3.5 mm capitals
INWARD = 3.0  # of a centring mark, into the frame; not at the foot, where the title block may be


def space(width: float, height: float) -> Box:
    """What is inside the frame."""
    return Box(FILING, MARGIN, width - FILING - MARGIN, height - 2 * MARGIN)


def frame(width: float, height: float) -> Iterator[Item]:
    """Frame, grid and centring marks of a sheet."""
    inner = space(width, height)
    outer = Box(
        inner.x - BORDER, inner.y - BORDER, inner.width + 2 * BORDER, inner.height + 2 * BORDER
    )
    left, top, right, foot = inner.x, inner.y, inner.x + inner.width, inner.y + inner.height
    yield outline(outer, LINE, "frame")
    yield outline(inner, HEAVY, "frame")
    across, down = _fields(left, right, width / 2), _fields(top, foot, height / 2)
    for x in across[1:-1]:
        yield rule((x, top - BORDER), (x, top), LINE, "frame")
        yield rule((x, foot), (x, foot + BORDER), LINE, "frame")
    for y in down[1:-1]:
        yield rule((left - BORDER, y), (left, y), LINE, "frame")
        yield rule((right, y), (right + BORDER, y), LINE, "frame")
    drop = CAPITAL * LETTER / 2  # from the middle of a capital to its base line
    for place, (a, b) in enumerate(pairwise(across), start=1):
        for y in (top - BORDER / 2, foot + BORDER / 2):
            yield Words(str(place), ((a + b) / 2, y + drop), "frame", LETTER, "middle")
    for letter, a, b in zip(LETTERS, down, down[1:], strict=False):
        for x in (left - BORDER / 2, right + BORDER / 2):
            yield Words(letter, (x, (a + b) / 2 + drop), "frame", LETTER, "middle")
    middle = (width / 2, height / 2)
    yield rule((middle[0], top - BORDER), (middle[0], top + INWARD), HEAVY, "frame")
    yield rule((middle[0], foot), (middle[0], foot + BORDER), HEAVY, "frame")
    yield rule((left - BORDER, middle[1]), (left + INWARD, middle[1]), HEAVY, "frame")
    yield rule((right - INWARD, middle[1]), (right + BORDER, middle[1]), HEAVY, "frame")


def _fields(first: float, last: float, middle: float) -> list[float]:
    """The ends of the fields along a side."""
    steps = int((last - middle - 1e-6) // FIELD) + 1
    inside = [middle + FIELD * k for k in range(-steps, steps + 1)]
    return [first, *(at for at in inside if first + 1.0 < at < last - 1.0), last]
