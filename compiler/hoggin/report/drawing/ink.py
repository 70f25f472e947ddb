"""The colours of a drawing on paper: black, white, and an accent for what asks for attention."""

from __future__ import annotations

from collections.abc import Mapping

from hoggin.report.drawing.model import Fill, Layer

INK, PAPER, TINT, ACCENT = "#111111", "#ffffff", "#e6e6e6", "#a3261d"
FILLS: Mapping[Fill, str] = {"none": "", "paper": PAPER, "tint": TINT, "ink": INK}


def ink_of(layer: Layer) -> str:
    return ACCENT if layer in ("attention", "revision") else INK
