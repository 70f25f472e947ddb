"""Converts names of samples and products to names of the language."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

from hoggin.syntax.tables import tables

_LONGEST = 60


def identifiers(texts: Sequence[str], otherwise: str) -> list[str]:
    """A name of the language for each text, all different. Letters of other alphabets than Latin
    are dropped; if nothing is left, the name is `otherwise` with a number."""
    used: set[str] = set()
    found: list[str] = []
    for number, text in enumerate(texts, 1):
        plain = _plain(text)
        if plain[:1].isdigit():
            plain = f"{otherwise}_{plain}"
        if plain in tables().words:
            plain = f"{plain}_{otherwise}"
        name = first = plain or f"{otherwise}_{number}"
        count = 2
        while name.lower() in used:
            name = f"{first}_{count}"
            count += 1
        used.add(name.lower())
        found.append(name)
    return found


def _plain(text: str) -> str:
    for letter, latin in (("ß", "ss"), ("ø", "o"), ("Ø", "O"), ("ł", "l"), ("Ł", "L")):
        text = text.replace(letter, latin)
    decomposed = unicodedata.normalize("NFKD", text)
    ascii_only = decomposed.encode("ascii", "ignore").decode()
    words = re.sub(r"[^A-Za-z0-9]+", "_", ascii_only).strip("_").lower()
    return words[:_LONGEST].rstrip("_")
