"""The documents an editor has open, and the files of the project around them."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import islice
from pathlib import Path

from hoggin.check.checker import Checked
from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.diagnostics.source import Source
from hoggin.editor.names import Names
from hoggin.editor.places import plain
from hoggin.editor.reading import Reader
from hoggin.editor.snapshot import (
    Balanced,
    Snapshot,
    Unsettled,
    balanced_of,
    look,
    texts_of,
)
from hoggin.schema.results import Results
from hoggin.syntax import tree
from hoggin.world import UnreadableError, read_text

_MOST_FILES = 500  # of a project that names are looked for in
_MOST_FOLDERS = 2000


@dataclass(eq=False)
class Project:
    """Texts of open documents by their resolved path; requests are answered for the current
    texts."""

    reader: Reader = field(default_factory=Reader)
    texts: dict[Path, str] = field(default_factory=dict)
    _balanced: dict[Path, Balanced] = field(default_factory=dict)
    _unsettled: dict[Path, Unsettled] = field(default_factory=dict)
    _snapshots: dict[Path, Snapshot] = field(default_factory=dict)

    def put(self, path: Path, text: str) -> None:
        """Open a document, or take its new text."""
        if path not in self.texts:
            self._snapshots.clear()  # a `use` that found no file may find this one
        self.texts[path] = plain(text)
        for other, snapshot in list(self._snapshots.items()):
            if other == path or any(snapshot.path_of(name) == path for name in snapshot.files):
                del self._snapshots[other]

    def drop(self, path: Path) -> None:
        """Close a document: the file on the disk is read again."""
        self.texts.pop(path, None)
        self._balanced.pop(path, None)
        self._unsettled.pop(path, None)
        self._snapshots.clear()

    def changed_on_disk(self) -> None:
        self._snapshots.clear()

    def snapshot(self, path: Path) -> Snapshot:
        """A document as it is now. Raises UnreadableError."""
        if path not in self._snapshots:
            self._snapshots[path] = self._with_results(look(path, self.texts, self.reader))
        return self._snapshots[path]

    def _with_results(self, snapshot: Snapshot) -> Snapshot:
        path = snapshot.path
        balanced, unsettled = self._balanced.get(path), self._unsettled.get(path)
        return replace(snapshot, balanced=balanced, unsettled=unsettled)

    def keep(self, path: Path, checked: Checked, results: Results | Diagnostic) -> None:
        """Keep the outcome of balancing a document's plant; without results, the last ones stay."""
        self._unsettled.pop(path, None)
        if isinstance(results, Diagnostic):
            self._unsettled[path] = Unsettled(results, texts_of(checked))
        else:
            self._balanced[path] = balanced_of(checked, results)
        if path in self._snapshots:
            self._snapshots[path] = self._with_results(self._snapshots[path])

    def names(self, snapshot: Snapshot) -> Names:
        """The names of the whole project around a document, including the compiler's libraries."""
        return Names({**snapshot.files, **self.own_files(snapshot)}, snapshot.heard)

    def own_files(self, snapshot: Snapshot) -> Mapping[str, tree.File]:
        """The trees of every file of the project, by the name each is shown by."""
        found: dict[str, tree.File] = {}
        for path in self._paths(snapshot.root):
            name = path.relative_to(snapshot.root).as_posix()
            try:
                text = self.texts[path] if path in self.texts else read_text(path)
            except UnreadableError:
                continue
            found[name] = self.reader.file(Source(name, text))
        return found

    def _paths(self, root: Path) -> Iterator[Path]:
        """The project's files, in order; folders whose name begins with a dot are left out."""
        opened = {path for path in self.texts if path.is_relative_to(root)}
        yield from sorted(opened | set(islice(on_disk(root), _MOST_FILES)))


def on_disk(root: Path) -> Iterator[Path]:
    """The `.hog` files of a project, in order; hidden folders are left out."""
    for count, (folder, inner, files) in enumerate(os.walk(root)):
        if count >= _MOST_FOLDERS:
            return
        inner[:] = sorted(name for name in inner if not name.startswith("."))
        yield from (Path(folder, name) for name in sorted(files) if name.endswith(".hog"))
