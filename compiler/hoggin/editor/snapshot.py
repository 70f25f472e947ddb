"""One document at one moment: as checked, with the meaning of its names and the last results of its
plant."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from hoggin.check import scope
from hoggin.check.checker import Checked, check
from hoggin.diagnostics.diagnostic import Diagnostic, Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.editor.names import Names
from hoggin.editor.reading import OpenWorld, Reader
from hoggin.schema.plant import Plant
from hoggin.schema.results import Results
from hoggin.syntax import tree
from hoggin.syntax.tokens import Token, tokens_of
from hoggin.world import OutsideRootError, UnreadableError, World, is_library, library_path


@dataclass(frozen=True, eq=False)
class Balanced:
    """The results of the last version of a plant that balanced.

    streams: the names of the streams that a step of a route carries, by the file and the words of
    the step; several where a template is in several sections.
    """

    results: Results
    texts: tuple[tuple[str, str], ...]  # that it was made from, by file
    streams: Mapping[tuple[str, str], tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class Unsettled:
    """Why a version of a plant can't be balanced."""

    diagnostic: Diagnostic
    texts: tuple[tuple[str, str], ...]


@dataclass(frozen=True, eq=False)
class Snapshot:
    """`files` are the trees of every file that was read, by the name each is shown by. `texts` and
    `reader` are what they were read with."""

    path: Path
    root: Path
    checked: Checked
    files: Mapping[str, tree.File]
    texts: Mapping[Path, str]
    reader: Reader
    balanced: Balanced | None = None
    unsettled: Unsettled | None = None

    @property
    def source(self) -> Source:
        return self.checked.source

    @property
    def name(self) -> str:
        return self.source.name

    @property
    def file(self) -> tree.File:
        return self.files[self.name]

    @cached_property
    def names(self) -> Names:
        return Names(self.files, self.heard)

    def heard(self, file: str) -> scope.Names:
        """The meaning of the names of a file, as the checker found it."""
        if file == self.name:
            return self.checked.names
        world = OpenWorld(self.path, self.texts)
        try:
            source = world.open_shown(file)
        except (UnreadableError, OutsideRootError):
            return scope.Names()
        return check(world, source, self.reader, naming=True).names

    @cached_property
    def tokens(self) -> tuple[Token, ...]:
        """The document's words and signs."""
        return tuple(tokens_of(self.source, Diagnostics()))

    @cached_property
    def is_fresh(self) -> bool:
        """Whether the results belong to the text as it is now."""
        return self.balanced is not None and self.balanced.texts == texts_of(self.checked)

    @property
    def results(self) -> Results | None:
        return self.balanced.results if self.balanced is not None else None

    @property
    def plant(self) -> Plant | None:
        """The plant of the text, or else the one that was last balanced."""
        return self.checked.plant or (self.results.plant if self.results is not None else None)

    def path_of(self, name: str) -> Path:
        """Where a file stands on the disk, by the name it is shown by."""
        if is_library(name):
            return library_path(name)
        return self.root / name


def look(path: Path, texts: Mapping[Path, str], reader: Reader) -> Snapshot:
    """Check a document. Raises UnreadableError where it is neither open nor on the disk."""
    world: World = OpenWorld(path, texts)
    checked = check(world, world.open_main(), reader, naming=True)
    files = {name: reader.file(source) for name, source in checked.sources.items()}
    return Snapshot(path, world.root, checked, files, dict(texts), reader)


def balanced_of(checked: Checked, results: Results) -> Balanced:
    """The results of a plant that was checked just so."""
    streams: dict[tuple[str, str], list[str]] = {}
    for stream, spans in checked.routes.items():
        for span in spans:
            streams.setdefault(step_key(span.source.name, span.text), []).append(stream)
    return Balanced(results, texts_of(checked), {key: tuple(v) for key, v in streams.items()})


def step_key(file: str, words: str) -> tuple[str, str]:
    return file, " ".join(words.split())


def texts_of(checked: Checked) -> tuple[tuple[str, str], ...]:
    return tuple(sorted((name, source.text) for name, source in checked.sources.items()))
