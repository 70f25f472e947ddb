"""A revision of a plant with its own libraries as trees, and a world of trees mixed from two."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from hoggin.check.checker import Checked, check
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.revise.why.flatten import flattened
from hoggin.revise.why.lines import Line, Path, lines_of
from hoggin.syntax import tree
from hoggin.syntax.cases import in_case
from hoggin.syntax.parser import parse
from hoggin.syntax.settings import Setting, with_settings
from hoggin.world import UnreadableError, World, is_library

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


def read_side(name: str, world: World, case: str = "") -> Side:
    """Read and check a plant, in one of its cases where one is named, and keep its trees. Raises
    UnreadableError, and HogginError where it has no such case."""
    files: dict[str, tree.File] = {}
    library: dict[str, tree.File] = {}

    def read(source: Source, diagnostics: Diagnostics) -> tree.File:
        kept = library if is_library(source.name) else files
        return kept.setdefault(source.name, parse(source, diagnostics))

    source = world.open_main()
    checked = check(world, source, read)
    if case and not checked.has_errors:
        checked = checked.in_case(case)
        files[source.name] = in_case(files[source.name], case)[0]
        files.update(_as_changed(files, world, source.name))
    return Side(name, world, checked, files, library)


def _as_changed(
    files: Mapping[str, tree.File], world: World, main: str
) -> Iterator[tuple[str, tree.File]]:
    """The plant's own libraries with what its case states of their materials."""
    for use in files[main].statements:
        if isinstance(use, tree.Use) and use.changed and isinstance(use.target, tree.Text):
            name = world.open_relative(use.target.text, files[main].source).name
            settings = [Setting.of(line, line.name.text) for line in use.changed]
            changed, _ = with_settings(files[name].statements, settings)
            yield name, replace(files[name], statements=changed)


def side_lines(side: Side) -> dict[Path, Line]:
    """All lines of a side's own files, wherever they are."""
    libraries = {
        (name, use.target.text): side.world.open_relative(use.target.text, file.source).name
        for name, file in side.files.items()
        for use in file.statements
        if isinstance(use, tree.Use) and isinstance(use.target, tree.Text)
    }
    return lines_of(flattened(side.files, libraries), MAIN)


class MixedWorld(World):
    """A world of one file, whose tree comes from elsewhere: its source holds no text. The
    compiler's library is as everywhere."""

    def __init__(self, after: World) -> None:
        self.main, self.root = after.main, after.root
        self._sources = {MAIN: Source(MAIN, "")}

    def open_main(self) -> Source:
        return self._sources[MAIN]

    def open_relative(self, written: str, used_in: Source) -> Source:  # noqa: ARG002
        raise UnreadableError("there is no such file")
