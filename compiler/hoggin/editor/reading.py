"""Reads files as the editor has them: open documents replace files on the disk, and a text that was
parsed is not parsed again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from posixpath import dirname, relpath

from hoggin.diagnostics.diagnostic import Diagnostic, Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.syntax import tree
from hoggin.syntax.parser import parse
from hoggin.world import World, is_library

_MOST_KEPT = 3  # texts of one file: as it is, as it was, as a new name would make it


class OpenWorld(World):
    """The disk, with other texts for the documents that are open."""

    def __init__(self, main: Path, texts: Mapping[Path, str]) -> None:
        self._texts = texts
        super().__init__(main)

    def open_shown(self, name: str) -> Source:
        """A file by the name it is shown by. Raises UnreadableError or OutsideRootError."""
        main = self.open_main()
        if is_library(name):
            return self.open_library(name)
        return self.open_relative(relpath(name, dirname(main.name)), main)

    def _read(self, path: Path, name: str) -> Source:
        if path not in self._texts:
            return super()._read(path, name)
        if name not in self._sources:
            self._sources[name] = Source(name, self._texts[path])
        return self._sources[name]


@dataclass(frozen=True, slots=True)
class _Read:
    text: str
    file: tree.File
    diagnostics: tuple[Diagnostic, ...]


class Reader:
    """The parser, with a cache of the last texts of each file."""

    def __init__(self) -> None:
        self._kept: dict[str, list[_Read]] = {}
        self.parsed = 0  # how many texts were parsed, not taken from the cache

    def __call__(self, source: Source, diagnostics: Diagnostics) -> tree.File:
        kept = self._kept.setdefault(source.name, [])
        found = next((one for one in kept if one.text == source.text), None)
        if found is None:
            own = Diagnostics()
            found = _Read(source.text, parse(source, own), tuple(own))
            self.parsed += 1
            del kept[: len(kept) + 1 - _MOST_KEPT]
            kept.append(found)
        diagnostics.extend(found.diagnostics)
        return found.file

    def file(self, source: Source) -> tree.File:
        """The tree of a source, separate from its errors."""
        return self(source, Diagnostics())
