"""A PDF read back with pypdf: what each sheet says, how large and where, and with which fonts."""

from __future__ import annotations

import io
import math
import re
from dataclasses import dataclass
from typing import Any

from pypdf import PdfReader

POINTS = 72 / 25.4  # to the mm


def squeezed(text: str) -> str:
    """Letters alone: where a line is broken, and at which blank, is the paper's affair."""
    return re.sub(r"\s+", "", text)


@dataclass(frozen=True)
class Word:
    text: str
    size_pt: float
    x_mm: float
    y_mm: float


@dataclass(frozen=True)
class Sheet:
    width_mm: float
    height_mm: float
    text: str
    words: tuple[Word, ...]
    links: tuple[str, ...]  # that lead out of the document

    @property
    def letters(self) -> str:
        return squeezed(self.text)


@dataclass(frozen=True)
class Paper:
    sheets: tuple[Sheet, ...]
    outline: tuple[str, ...]
    fonts: dict[str, bool]  # by name, whether it is embedded

    @property
    def letters(self) -> str:
        return "".join(sheet.letters for sheet in self.sheets)


def read(content: bytes) -> Paper:
    reader = PdfReader(io.BytesIO(content))
    fonts: dict[str, bool] = {}
    for page in reader.pages:
        _fonts(page["/Resources"].get_object(), fonts)
    outline = tuple(str(e["/Title"]) for e in reader.outline if not isinstance(e, list))
    return Paper(tuple(map(_sheet, reader.pages)), outline, fonts)


def _sheet(page: Any) -> Sheet:
    words: list[Word] = []

    def seen(text: str, cm: list[float], tm: list[float], _font: Any, size: float) -> None:
        if text.strip():
            scale = math.hypot(tm[0], tm[1]) * math.hypot(cm[0], cm[1])
            x = cm[0] * tm[4] + cm[2] * tm[5] + cm[4]
            y = cm[1] * tm[4] + cm[3] * tm[5] + cm[5]
            words.append(Word(text, size * scale, x / POINTS, y / POINTS))

    text = page.extract_text(visitor_text=seen)
    box = page.mediabox
    notes = [note.get_object() for note in page.get("/Annots", [])]
    actions = [note["/A"].get_object() for note in notes if "/A" in note]
    links = tuple(str(action["/URI"]) for action in actions if "/URI" in action)
    return Sheet(float(box.width) / POINTS, float(box.height) / POINTS, text, tuple(words), links)


def _fonts(resources: Any, found: dict[str, bool]) -> None:
    """Fonts of a page and of the drawings in it."""
    for reference in resources.get("/Font", {}).values():
        font = reference.get_object()
        within = font["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object()
        found[str(font["/BaseFont"])] = bool({"/FontFile2", "/FontFile3"} & set(within))
    for inner in resources.get("/XObject", {}).values():
        if "/Resources" in inner.get_object():
            _fonts(inner.get_object()["/Resources"].get_object(), found)
