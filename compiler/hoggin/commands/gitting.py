"""Hoggin as git calls it: an external diff driver, and the text that git compares (textconv).

Set up once in a repository, with `*.hog diff=hoggin` in its `.gitattributes`:

    git config diff.hoggin.command  "hoggin git-compare"
    git config diff.hoggin.textconv "hoggin facts --"
"""

from __future__ import annotations

import argparse
import difflib
import os
import shlex
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import islice
from pathlib import Path, PurePosixPath

from hoggin.commands.arguments import LEAST_WEIGHT
from hoggin.commands.comparing import Place, compared, printed
from hoggin.commands.running import told
from hoggin.diagnostics.source import Source
from hoggin.errors import Exit, HogginError, SourceError
from hoggin.revise.compare.listing import listing
from hoggin.revisions.holders import Holder, distinct, holders
from hoggin.world import World, named, read_text

_NO_FILE = "/dev/null"
_MOST_NAMED = 4


def print_facts(options: argparse.Namespace) -> int:
    print(facts(options.file), end="")
    return Exit.DONE


def git_compare(options: argparse.Namespace) -> int:
    """Always 0: git treats any other code as a failure and stops."""
    print(_compared(options.arguments), end="")
    return Exit.DONE


def facts(file: Path) -> str:
    """Print the file's facts in a fixed order, or its text if it can't be read completely.

    Raises UnreadableError.
    """
    with named(file):
        source = Source(file.name, read_text(file))
    listed = listing(source)
    return source.text if listed is None else listed


@dataclass(frozen=True)
class _Side:
    """One of the two files as git passes it: its path in the repository, the file with its content,
    and the hash of the content."""

    word: str
    path: str
    file: str
    digest: str

    @property
    def on_disk(self) -> bool:
        """Whether git passes the file of the working tree itself, which has no hash yet."""
        return not self.digest.strip("0")

    @cached_property
    def groups(self) -> list[list[Holder]]:
        """The states that this content may be from, by their libraries. If the libraries are the
        same in all of them, they are certain."""
        if self.on_disk:
            return []
        paths = [PurePosixPath(self.path)]
        below = os.environ.get("GIT_PREFIX", "")
        if below:  # `git diff --relative` leaves the folder out
            paths.append(PurePosixPath(below) / self.path)
        borrowed = Path(self.file) == Path(self.path)
        return distinct(holders(self.digest, paths, Path.cwd(), on_disk=borrowed))

    @property
    def certain(self) -> bool:
        return self.on_disk or len(self.groups) == 1

    @property
    def place(self) -> Place:
        if self.on_disk:
            return Place(self.path, World(Path(self.file)))
        first = self.groups[0][0]
        return Place(first.place, first.world)

    @property
    def libraries(self) -> str:
        """`before those of 1a2b3c4d5e`, or all possible states."""
        if self.on_disk:
            return f"{self.word} those of the working tree"
        if not self.groups:
            return f"{self.word} unknown: no commit holds this content"
        told = [_states(group) for group in islice(self.groups, _MOST_NAMED)]
        more = len(self.groups) - len(told)
        others = [f"{more} others"] if more else []
        return f"{self.word} those of {', or of '.join([*told, *others])}"


def _states(group: Sequence[Holder]) -> str:
    rest = len(group) - 1
    same = f" (the same in {rest} other state{'s' if rest > 1 else ''})" if rest else ""
    return f"{group[0].name}{same}"


def _compared(arguments: Sequence[str]) -> str:
    """What git prints for a file that differs.

    arguments: as git gives them to an external diff driver: path, old file, hash and mode, new
    file, hash and mode, and for a renamed file its new path and how it was moved; or only the path
    of a file that is not merged yet.
    """
    path, *rest = arguments
    if len(rest) < 6:
        return (
            f"hoggin: {path} is not merged yet; `hoggin compare` takes `:2:{path}` for our side "
            f"and `:3:{path}` for theirs\n"
        )
    old_file, old_hash, _, new_file, new_hash, _, *moved = rest
    new_path = moved[0] if moved else path
    head = f"{path} -> {new_path}\n" if moved else f"{path}\n"
    if _NO_FILE in (old_file, new_file):
        return head + ("is new\n" if old_file == _NO_FILE else "is deleted\n")
    sides = [
        _Side("before", path, old_file, old_hash),
        _Side("after", new_path, new_file, new_hash),
    ]
    try:
        return head + _told(sides)
    except HogginError as fault:
        return head + _reason(fault) + _text_difference(old_file, new_file)


def _told(found: Sequence[_Side]) -> str:
    """The comparison with its results. If git leaves the libraries open, only what the files
    themselves state is compared."""
    libraries = f"libraries: {'; '.join(one.libraries for one in found)}\n"
    if not all(one.certain for one in found):
        before, after = (one.file for one in found)
        return (
            f"{libraries}git does not say which, so no results are compared; the files differ in "
            f"what they state:\n{_text_difference(before, after)}"
            + "".join(f"to see the effect on results: {line}\n" for line in _commands(*found))
        )
    before_place, after_place = (one.place for one in found)
    comparison = compared(before_place, after_place, threshold=LEAST_WEIGHT).comparison
    return libraries + printed(comparison, "terminal")


def _commands(before: _Side, after: _Side) -> Iterator[str]:
    """`hoggin compare` of adjacent states, otherwise of the first of each side."""
    if not all(side.on_disk or side.groups for side in (before, after)):
        return
    old = {one.name: one for group in before.groups for one in group}
    commits = {one.commit: one for one in old.values() if one.commit}
    next_to = [
        (commits[parent], one)
        for group in after.groups
        for one in group
        for parent in one.parents
        if parent in commits
    ]
    for first, second in next_to[:_MOST_NAMED]:
        yield shlex.join(["hoggin", "compare", first.place, second.place])
    if not next_to:
        yield shlex.join(["hoggin", "compare", before.place.name, after.place.name])


def _reason(fault: HogginError) -> str:
    if isinstance(fault, SourceError):
        told(fault)
        return "can't be compared as plants: one of them has errors (above)\n"
    return f"{fault}\n"


def _text_difference(old_file: str, new_file: str) -> str:
    try:
        old, new = (facts(Path(file)).splitlines(keepends=True) for file in (old_file, new_file))
    except HogginError:  # it has been reported
        return ""
    lines = difflib.unified_diff(old, new, "before", "after", n=0)
    return "".join(lines) or "Both state the same facts.\n"
