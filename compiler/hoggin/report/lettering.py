"""Widths of letters, for what is set in type: tables, labels, drawings.

They are estimated from classes of letters, on the wide side, for a grotesque with the widths of
Helvetica (common practice, no source).
"""

from __future__ import annotations

from math import fsum

SMALL_LETTERS, LARGE_LETTERS = frozenset("iljtfrI.,:;'| !()[]-/"), frozenset("mwMW%@")
BOLD = 1.08  # width of bold text over that of plain
BREAK = "\u200b"  # a place where a line may be broken


def ems(text: str) -> float:
    """Width of plain text in units of its size."""
    return fsum(map(_em, text))


def _em(letter: str) -> float:
    if letter == BREAK:
        return 0.0
    if letter in SMALL_LETTERS:
        return 0.34
    if letter in LARGE_LETTERS or letter > "\u2e80":  # the wide scripts of East Asia and beyond
        return 0.95
    return 0.73 if letter.isupper() else 0.56
