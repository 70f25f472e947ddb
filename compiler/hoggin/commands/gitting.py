"""Hoggin as git calls it: an external diff driver, and the text that git compares (textconv).

Set up once in a repository, with `*.hog diff=hoggin` in its `.gitattributes`:

    git config diff.hoggin.command  "hoggin git-compare"
    git config diff.hoggin.textconv "hoggin facts"
"""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from pathlib import Path, PurePosixPath

from hoggin.commands.comparing import Place, compared, printed
from hoggin.commands.running import told
from hoggin.diagnostics.source import Source
from hoggin.errors import HogginError, SourceError
from hoggin.revise.compare.listing import listing
from hoggin.revisions import RevisionWorld, find_holder
from hoggin.world import UnreadableError, World, named, read_text

_NO_FILE = "/dev/null"


def facts(file: Path) -> str:
    """The file's facts in an order of their own; the text itself where it can't be read whole.

    Raises UnreadableError.
    """
    with named(file):
        source = Source(file.name, read_text(file))
    listed = listing(source)
    return source.text if listed is None else listed


def git_compare(arguments: Sequence[str]) -> str:
    """What git prints for a file that differs.

    arguments: as git gives them to an external diff driver: path, old file, hash and mode, new
    file, hash and mode, and for a renamed file its new path and how it was moved; or the path
    alone of one that is not merged yet.
    """
    path, *rest = arguments
    if len(rest) < 6:
        return f"hoggin: {path} is not merged yet\n"
    old_file, old_hash, _, new_file, new_hash, _, *moved = rest
    new_path = moved[0] if moved else path
    head = f"{path} -> {new_path}\n" if moved else f"{path}\n"
    if _NO_FILE in (old_file, new_file):
        return head + ("is new\n" if old_file == _NO_FILE else "is deleted\n")
    try:
        before = Place(path, _world(path, old_file, old_hash))
        after = Place(new_path, _world(new_path, new_file, new_hash))
        return head + printed([compared(before, after, threshold=1.0).comparison], "terminal")
    except HogginError as fault:
        return head + _reason(fault) + _text_difference(old_file, new_file)


def _world(path: str, file: str, digest: str) -> World:
    """The world of one side: the work tree, or a revision in which the file stands like this."""
    if Path(file) == Path(path):
        return World(Path(path))
    holder = find_holder(digest, PurePosixPath(path), Path.cwd())
    if holder is None:  # staged, and in no commit yet: its libraries are those of the work tree
        return _Loose(Path(path), Path(file))
    return RevisionWorld(holder, PurePosixPath(path))


class _Loose(World):
    """The work tree, with another text for the plant file itself."""

    def __init__(self, path: Path, content: Path) -> None:
        super().__init__(path)
        self._content = content

    def _bytes(self, path: Path) -> bytes:
        return super()._bytes(self._content if path == self.main else path)


def _reason(fault: HogginError) -> str:
    if isinstance(fault, SourceError):
        told(fault)
        return "can't be compared as plants: one of them has errors (above)\n"
    return f"{fault}\n"


def _text_difference(old_file: str, new_file: str) -> str:
    try:
        old, new = (facts(Path(file)).splitlines(keepends=True) for file in (old_file, new_file))
    except UnreadableError:  # it has been told why
        return ""
    lines = difflib.unified_diff(old, new, "before", "after", n=0)
    return "".join(lines) or "Both state the same.\n"
