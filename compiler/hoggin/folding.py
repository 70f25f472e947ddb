"""Text in lines of so many columns of a terminal."""

from __future__ import annotations

import re
from collections.abc import Iterator

from hoggin.paint import SEQUENCE
from hoggin.visible import columns

WIDTH = 80  # columns of what is not printed to a terminal, and the fewest of any
_NUMBER = re.compile(r"[(+-]*\d[\d.,]*")
_UNIT = re.compile(r"[%a-z][\w/%]{0,4}[),;.]*")
_INDENT = 2  # of what follows the first line of a folded one


def width_of(text: str) -> int:
    """How many columns a text takes; its colour takes none."""
    return columns(SEQUENCE.sub("", text))


def words(text: str) -> list[str]:
    """What of a text stays on one line: its words, a number with its unit."""
    found: list[str] = []
    for word in text.split():
        if found and _NUMBER.fullmatch(found[-1]) and _UNIT.fullmatch(word):
            found[-1] += f" {word}"
        else:
            found.append(word)
    return found


def wrapped(text: str, width: int, hanging: str = "") -> list[str]:
    """The words of a text in lines, which begin with `hanging` from the second on. A word is cut
    only where it is wider than a whole line."""
    lines = [""]
    for word in words(text):
        first, *rest = _parts(word, max(1, width - len(hanging)))
        begun = lines[-1].strip()
        longer = f"{lines[-1]} {first}" if begun else lines[-1] + first
        if begun and width_of(longer) > width:
            lines.append(hanging + first)
        else:
            lines[-1] = longer
        lines += [hanging + part for part in rest]
    return lines


def beside(name: str, text: str, width: int) -> str:
    """A name, with the spaces after it, and what it is in a column of its own."""
    lines = wrapped(text, max(1, width - width_of(name)))
    return f"\n{' ' * width_of(name)}".join([name + lines[0], *lines[1:]])


def folded(text: str, width: int) -> str:
    """The text with each line that is too long in several, the later ones indented."""
    return "\n".join(part for line in text.split("\n") for part in _fold(line, width))


def _fold(line: str, width: int) -> list[str]:
    if width_of(line) <= width:
        return [line]
    indent = line[: len(line) - len(line.lstrip(" "))]
    first, *rest = wrapped(line, width - len(indent), " " * _INDENT)
    return [indent + part for part in (first, *rest)]


def _parts(word: str, width: int) -> Iterator[str]:
    """A word in parts that fit the width."""
    part = ""
    for letter in word if width_of(word) > width else ():
        if part and columns(part + letter) > width:
            yield part
            part = ""
        part += letter
    yield part or word
