"""TOML as records and settings are written in it, read whatever a file holds."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from hoggin.errors import HogginError

DEEPEST = 60  # names joined by dots; the library's time grows with their square
_QUOTED = re.compile(r'"(?:\\.|[^"\\])*+(?:"|\Z)|\'[^\']*+(?:\'|\Z)|[ \t]+')
_APART = re.compile(r"[^\w.-]+")
_PLACE = re.compile(r" \(at (?:line (\d+), column \d+|end of document)\)$")


class TomlError(HogginError):
    """A text is not read as TOML; `line` is where, None where that is not known."""

    def __init__(self, told: str, line: int | None = None) -> None:
        super().__init__(told)
        self.line = line


def read_toml(text: str) -> dict[str, Any]:
    """The content of a TOML text. Raises TomlError."""
    for line, written in enumerate(text.splitlines(), start=1):
        if written.count(".") >= DEEPEST and _joined(written) >= DEEPEST:
            raise TomlError(f"more than {DEEPEST} names are joined by dots", line)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        told = str(fault)
        place = _PLACE.search(told)
        line_told = int(place[1]) if place and place[1] else None
        raise TomlError(_PLACE.sub("", told).lower(), line_told) from None
    except RecursionError:
        raise TomlError("its brackets nest too deeply") from None
    except ValueError:  # of more digits than Python turns into a number
        raise TomlError("it has a number that is too long") from None


def _joined(line: str) -> int:
    """The most dots that join names of a line, or are in one word of it."""
    return max(word.count(".") for word in _APART.split(_QUOTED.sub("", line)))
