"""The example plants that come with the compiler, each by the name of its file."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from hoggin.world import files_below, read_bytes, shipped

_PLANT = re.compile(r"^plant\b", re.MULTILINE)
_OPENING = re.compile(r"(?:#.*\n)+")
_SENTENCE = re.compile(r".*?\.(?= |$)")


@dataclass(frozen=True, slots=True)
class Example:
    """A plant. `path` is its place below the folder of the examples."""

    path: Path
    title: str

    @property
    def name(self) -> str:
        return self.path.stem

    @property
    def group(self) -> str:
        """The folder it is in; "" for a plant of its own."""
        return "/".join(self.path.parts[:-1])

    @property
    def heading(self) -> str:
        """What a list of examples has above those of its group."""
        return self.group or "plants"


def examples() -> dict[str, Example]:
    """Every example by its name, the plants of a folder together."""
    base = shipped("examples")
    found = [
        Example(path.relative_to(base), _title(text))
        for path in files_below(base)
        if path.suffix == ".hog" and _PLANT.search(text := path.read_text(encoding="utf-8"))
    ]
    return {one.name: one for one in sorted(found, key=lambda one: (one.group, one.name))}


def files(example: Example) -> Mapping[str, bytes]:
    """The files of an example by their paths: its plant, and all that it names."""
    base = shipped("examples")
    found = {base / example.path: read_bytes(base / example.path)}
    waiting = list(found)
    while waiting:
        for path in _named_in(waiting.pop(), files_below(base)):
            if path not in found:
                found[path] = read_bytes(path)
                waiting.append(path)
    top = os.path.commonpath([path.parent for path in found])
    return {path.relative_to(top).as_posix(): content for path, content in found.items()}


def _named_in(file: Path, candidates: list[Path]) -> list[Path]:
    """The files that a file's text or comments name, by their path from it."""
    words = set(re.findall(r"[\w./]+\.\w+", file.read_text(encoding="utf-8")))
    return [
        one for one in candidates if Path(os.path.relpath(one, file.parent)).as_posix() in words
    ]


def _title(text: str) -> str:
    """The first sentence of the comment that opens the file."""
    opening = _OPENING.match(text)
    words = "" if opening is None else " ".join(opening[0].replace("#", " ").split())
    sentence = _SENTENCE.match(words)
    return words if sentence is None else sentence[0].removesuffix(".")
