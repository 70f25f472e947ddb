"""Contrast of two colours as WCAG 2.2 defines it (from memory): relative luminance of sRGB, and
(lighter + 0.05) / (darker + 0.05). Text needs 4.5:1, the edges of controls and focus marks 3:1."""

from __future__ import annotations

import re

Colour = tuple[float, float, float]  # 0 to 255
TEXT, EDGE = 4.5, 3.0


def hexadecimal(text: str) -> Colour:
    red, green, blue = (int(text[at : at + 2], 16) for at in (1, 3, 5))
    return red, green, blue


def luminance(colour: Colour) -> float:
    def linear(part: float) -> float:
        share = part / 255
        return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4

    red, green, blue = map(linear, colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Colour, other: Colour) -> float:
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def rgb(text: str) -> Colour:
    """A computed colour, as the browser writes it."""
    red, green, blue, *alpha = map(float, re.findall(r"[\d.]+", text))
    assert not alpha or alpha == [1.0], text
    return red, green, blue
