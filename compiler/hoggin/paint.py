"""Colour on a terminal. It stresses what the words say already and never carries the meaning alone.

The sequences are those of ECMA-48, "select graphic rendition", in the eight colours that every
terminal has, so that the reader's own palette decides how they look.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Literal, TypeAlias

Ink = Literal["good", "near", "bad", "strong"]
Paint: TypeAlias = Callable[[Ink, str], str]

_BOLD, _RED, _GREEN, _YELLOW = "1", "31", "32", "33"
_CODES: dict[Ink, str] = {
    "good": _GREEN,
    "near": _YELLOW,
    "bad": f"{_BOLD};{_RED}",
    "strong": _BOLD,
}
_END = "\x1b[0m"
SEQUENCE = re.compile("|".join(re.escape(f"\x1b[{code}m") for code in ("0", *_CODES.values())))
"""Every sequence that is ever printed, and no other."""


def plain(_ink: Ink, text: str) -> str:
    """No colour."""
    return text


def coloured(ink: Ink, text: str) -> str:
    return f"\x1b[{_CODES[ink]}m{text}{_END}" if text else text
