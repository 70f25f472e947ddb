"""Slips of the pen in good sources: the food of the tests that nothing may crash."""

from __future__ import annotations

import re
from pathlib import Path
from random import Random

_ROOT = Path(__file__).parents[1]
_TOKEN = re.compile(r'"[^"\n]*"|[A-Za-z_]\w*|\d+(?:\.\d+)?|\s+|.', re.DOTALL)
_NUMBER = re.compile(r"\d+(?:\.\d+)?\Z")
_FACTORS = (0, 0.5, 0.9, 1.1, 2, 10, 1e6, 1e-6)
ODD = [*'{}()"€;:=^-0\n\x00', "->", "by", "1e5", "1e", "to", "source", "%", "plant", "\ufeff"]
ODD += [*"≤→–“„µ,<>/#", "\u00a0", '3"', "1/2 in", "2,5", "-->", "=>", "#4: 12 %", "in", "grading"]


def seeds(*folders: str) -> list[str]:
    """The sources in some folders of the repository, those left out that are huge on purpose."""
    files = sorted(file for name in folders for file in (_ROOT / name).rglob("*.hog"))
    return [
        file.read_text(encoding="utf-8")
        for file in files
        if file.name != "E0703_plant_too_large.hog"  # slow on purpose, see test_templates
    ]


def tokens(text: str) -> list[str]:
    return _TOKEN.findall(text)


def mutated(text: str, random: Random) -> str:
    """Some tokens or lines dropped, doubled, swapped, put in, or figures changed."""
    whole_lines = random.random() < 0.3
    pieces = text.split("\n") if whole_lines else tokens(text)
    for _ in range(random.choice([1, 1, 2, 5, 20])):
        here, there = random.randrange(len(pieces)), random.randrange(len(pieces))
        match random.randrange(5):
            case 0 if len(pieces) > 1:
                del pieces[here]
            case 1:
                pieces.insert(here, pieces[there])
            case 2:
                pieces[here], pieces[there] = pieces[there], pieces[here]
            case 3:
                pieces.insert(here, random.choice(ODD))
            case _:
                _change_a_figure(pieces, random)
    return ("\n" if whole_lines else "").join(pieces)


def refigured(text: str, random: Random) -> str:
    """Other figures and nothing else: many such texts pass the checker and reach the phases behind
    it."""
    pieces = tokens(text)
    for _ in range(random.choice([1, 2, 5])):
        _change_a_figure(pieces, random)
    return "".join(pieces)


def _change_a_figure(pieces: list[str], random: Random) -> None:
    places = [place for place, piece in enumerate(pieces) if _NUMBER.match(piece)]
    if places:
        place = random.choice(places)
        changed = float(pieces[place]) * random.choice(_FACTORS)
        pieces[place] = f"{changed:.6f}".rstrip("0").rstrip(".")


def spliced(text: str, other: str, random: Random) -> str:
    """A stretch of another source put among the lines of this one."""
    lines, more = text.split("\n"), other.split("\n")
    start, place = random.randrange(len(more)), random.randrange(len(lines) + 1)
    lines[place:place] = more[start : start + random.choice([1, 2, 5, 20])]
    return "\n".join(lines)
