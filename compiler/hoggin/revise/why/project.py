"""A revision of a plant with its own libraries as trees, and a world of trees mixed from two."""

from __future__ import annotations

import posixpath
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from hoggin.check.checker import Checked, check
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.revise.why.lines import Line, Path, lines_of
from hoggin.syntax import tree
from hoggin.syntax.parser import parse
from hoggin.world import UnreadableError, World

MAIN = "main"


@dataclass(frozen=True)
class Side:
    """A plant as it was asked for. `files` are its own, by the name they are shown by, its main
    file first; `library` the compiler's."""

    name: str
    world: World
    checked: Checked
    files: Mapping[str, tree.File]
    library: Mapping[str, tree.File]


def read_side(name: str, world: World) -> Side:
    """Read and check a plant and keep its trees. Raises UnreadableError."""
    files: dict[str, tree.File] = {}
    library: dict[str, tree.File] = {}

    def read(source: Source, diagnostics: Diagnostics) -> tree.File:
        kept = library if source.name.startswith("std.") else files
        return kept.setdefault(source.name, parse(source, diagnostics))

    return Side(name, world, check(world, world.open_main(), read), files, library)


def file_names(before: Side, after: Side) -> tuple[dict[str, str], dict[str, str]]:
    """What each side's files are called in common: the main file MAIN, libraries by their own name
    where both have it, else by the way to them from the main file."""
    mains = next(iter(before.files)), next(iter(after.files))
    shared = {name for name in before.files if name in after.files} - set(mains)

    def called(side: Side, main: str) -> dict[str, str]:
        folder = posixpath.dirname(main) or "."
        return {
            name: MAIN if name == main else _library(name, shared, folder) for name in side.files
        }

    return called(before, mains[0]), called(after, mains[1])


def _library(name: str, shared: set[str], folder: str) -> str:
    return name if name in shared else f"./{posixpath.relpath(name, folder)}"


def side_lines(side: Side, names: Mapping[str, str]) -> dict[Path, Line]:
    """All lines of a side's own files."""
    found: dict[Path, Line] = {}
    for shown, file in side.files.items():
        libraries = dict(_libraries(side, file, names))
        found.update(lines_of(file, names[shown], libraries))
    return found


def _libraries(side: Side, file: tree.File, names: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Own libraries as a file writes them, and what they are called in common."""
    for statement in file.statements:
        if isinstance(statement, tree.Use) and isinstance(statement.target, tree.Text):
            written = statement.target.text
            yield written, names[side.world.open_relative(written, file.source).name]


class MixedWorld(World):
    """A world whose own files are called as `file_names` calls them; the compiler's library is as
    everywhere. The trees come from elsewhere: its sources hold no text."""

    def __init__(self, after: World, names: Iterable[str]) -> None:
        self.main, self.root = after.main, after.root
        self._sources = {name: Source(name, "") for name in names}

    def open_main(self) -> Source:
        return self._sources[MAIN]

    def open_relative(self, written: str, used_in: Source) -> Source:  # noqa: ARG002
        if written not in self._sources:
            raise UnreadableError("there is no such file")
        return self._sources[written]
