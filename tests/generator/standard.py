"""The standard library's classes with their parameters and settings, read from their text."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from hoggin.check.library import load_library
from hoggin.check.records import written_out
from hoggin.syntax.printer import printed

_LIBRARY = Path(__file__).parents[2] / "stdlib"
_CLASS = re.compile(r"^class (\w+) (\w+)(?:\((.*)\))? \{", re.MULTILINE)
_SETTING = re.compile(r"^  setting (.+)$", re.MULTILINE)
_RANGE = re.compile(r"(\w+): ([\d.]+)(?: (\S+))? to ([\d.]+)(?: \S+)?(?: = (.+))?")
_CHOICE = re.compile(r"(\w+): (\w+(?: \| \w+)+)(?: = (\w+))?")
_DECKS = re.compile(r"^  max_decks +(\d)", re.MULTILINE)
_BAND = re.compile(r"^band (\w+)", re.MULTILINE)
_SERIES = re.compile(r"^series (\w+)", re.MULTILINE)


@dataclass(frozen=True)
class Range:
    """A parameter or setting that is a quantity."""

    name: str
    unit: str
    low: float
    high: float
    given: bool  # whether it has a default


@dataclass(frozen=True)
class Choice:
    """A setting that is one of some words."""

    name: str
    words: tuple[str, ...]
    given: bool


@dataclass(frozen=True)
class MachineClass:
    """A class as a machine sees it: by the library it stands in, and what it wants stated."""

    library: str
    kind: str
    name: str
    parameters: tuple[Range, ...]
    settings: tuple[Range | Choice, ...]
    decks: int = 0  # at most, of a screen

    @property
    def path(self) -> str:
        return f"{self.library}.{self.name}".lstrip(".")

    def range_of(self, name: str) -> Range | None:
        stated = (*self.parameters, *self.settings)
        return next((r for r in stated if isinstance(r, Range) and r.name == name), None)

    @property
    def opening(self) -> Range | None:
        """The setting that a crusher's product follows."""
        return self.range_of("css") or self.range_of("gap")


def read_classes(library: str, text: str) -> tuple[MachineClass, ...]:
    """The classes of a library's text."""
    heads = list(_CLASS.finditer(text))
    ends = [*(head.start() for head in heads[1:]), len(text)]
    return tuple(
        _class(library, head, text[head.end() : end])
        for head, end in zip(heads, ends, strict=False)
    )


def _class(library: str, head: re.Match[str], body: str) -> MachineClass:
    ranges = (_range(part) for part in (head[3] or "").split(", "))
    decks = _DECKS.search(body)
    return MachineClass(
        library,
        head[1],
        head[2],
        tuple(r for r in ranges if r is not None),
        tuple(_settings(body)),
        int(decks[1]) if decks else 0,
    )


def _range(text: str) -> Range | None:
    found = _RANGE.match(text.strip())
    if found is None:
        return None
    name, low, unit, high, default = found.groups()
    return Range(name, unit or "", float(low), float(high), default is not None)


def _settings(body: str) -> list[Range | Choice]:
    found: list[Range | Choice] = []
    for line in _SETTING.findall(body):
        measured, chosen = _range(line), _CHOICE.match(line)
        if measured is not None:
            found.append(measured)
        elif chosen is not None:
            found.append(Choice(chosen[1], tuple(chosen[2].split(" | ")), chosen[3] is not None))
    return found


@cache
def classes() -> tuple[MachineClass, ...]:
    """Every class of the library that a machine may be of, with what it inherits."""
    found: list[MachineClass] = []
    for file in sorted(_LIBRARY.glob("*.hog")):
        entities = load_library(f"std.{file.stem}").classes.values()
        text = "".join(printed([written_out(entity)]) for entity in entities)
        found += read_classes(file.stem, text)
    return tuple(found)


@cache
def bands() -> tuple[tuple[str, str], ...]:
    """Every band of the library: (library, name)."""
    files = sorted((_LIBRARY / "gradings").glob("*.hog"))
    return tuple((f.stem, name) for f in files for name in _BAND.findall(f.read_text("utf-8")))


@cache
def series() -> tuple[str, ...]:
    """Every sieve series of the library."""
    return tuple(_SERIES.findall((_LIBRARY / "sieves.hog").read_text("utf-8")))
