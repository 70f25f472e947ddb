"""What of a text is seen: the one place that knows characters which leave no mark on a page."""

from __future__ import annotations

import unicodedata

# Controls, format signs, halves of letters, all kinds of space, marks without a letter to be on,
# and places without a character.
_UNSEEN = frozenset(("Cc", "Cf", "Cs", "Cn", "Co", "Zs", "Zl", "Zp", "Mn", "Me"))
# Letters and signs that are drawn as a space, as Unicode's property Default_Ignorable_Code_Point
# lists them, and the empty Braille cell.
_BLANKS = frozenset("\u115f\u1160\u3164\uffa0\u2800")
_FORMULA_STARTS = frozenset("=+-@\u2212")


def says_something(text: str) -> bool:
    """Whether a reader sees anything of a text."""
    return any(map(_seen, text))


def starts_formula(text: str) -> bool:
    """Whether a spreadsheet may read a text as a formula: what is first seen of it, full-width and
    raised signs taken for the plain ones, begins one. So does a tab or a carriage return."""
    if text.startswith(("\t", "\r")):
        return True
    first = next(filter(_seen, text), "")
    return unicodedata.normalize("NFKC", first)[:1] in _FORMULA_STARTS


def columns(text: str) -> int:
    """How many columns of a terminal a text takes."""
    if text.isascii():
        return len(text)
    wide = sum(unicodedata.east_asian_width(letter) in "WF" for letter in text)
    return len(text) + wide - sum(unicodedata.combining(letter) > 0 for letter in text)


def _seen(character: str) -> bool:
    return unicodedata.category(character) not in _UNSEEN and character not in _BLANKS
