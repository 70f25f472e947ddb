"""Hoggin as git's merge driver: merges both sides' facts, whatever the order of their lines.

Set up once in a repository, with `*.hog merge=hoggin` in its `.gitattributes`:

    git config merge.hoggin.driver "hoggin git-merge %O %A %B %L %P"
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path, PurePosixPath

from hoggin.check.checker import check
from hoggin.commands.running import complain
from hoggin.diagnostics.render import render_all
from hoggin.errors import Exit
from hoggin.revise.merge import Labels, Merged, merge
from hoggin.revisions import Revision, find_commit
from hoggin.revisions.git import ask
from hoggin.revisions.holders import distinct, holders
from hoggin.world import UnreadableError, World, decoded, named, read_text
from hoggin.writing import write

_HEAD = "GITHEAD_"  # git names the variables with the commits of a merge in progress after this


Files = argparse.Namespace
"""What git passes: the files `base`, `ours` and `theirs`, the `length` of its markers, and the
`path` of the file in the repository. The merged text is left in `ours`."""


def git_merge(files: Files) -> int:
    """Merge and write. Returns 0 if the file has no conflict and no errors; git treats any other
    code as a conflict. Raises HogginError if a file can't be read or written."""
    with named(str(files.path)):
        text, clean = _merged(files)
        write({files.ours.name: text.encode()}, files.ours.parent)
        return Exit.DONE if clean and _holds(files, text) else Exit.SOURCE


def _merged(files: Files) -> tuple[str, bool]:
    """The merged text, and whether it is free of conflicts; messages have been printed."""
    base, ours, theirs = map(read_text, (files.base, files.ours, files.theirs))
    by_lines, clean = _by_lines(files)
    labels = Labels(length=files.length)
    found = merge(base, ours, theirs, labels, by_lines if clean else None)
    if found is None:
        complain(f"`{files.path}` can't be merged fact by fact, so it is merged by its lines")
        return by_lines, clean
    for conflict in found.conflicts:
        complain(f"`{files.path}`: conflict: {conflict}")
    return found.text, not found.conflicts


def _by_lines(files: Files) -> tuple[str, bool]:
    """The result of git's own merge of lines, and whether it is free of conflicts."""
    names = [word for side in ("ours", "base", "theirs") for word in ("-L", side)]
    sides = [str(file.absolute()) for file in (files.ours, files.base, files.theirs)]
    length = f"--marker-size={files.length}"
    done = subprocess.run(
        ["git", "merge-file", "-p", length, *names, *sides], capture_output=True, check=False
    )
    if done.returncode < 0 or done.returncode > 127:
        raise UnreadableError(f"git reports: {done.stderr.decode(errors='replace').strip()}")
    return decoded(done.stdout), done.returncode == 0


# -- the merged plant, checked -------------------------------------------------------------------


def _holds(files: Files, text: str) -> bool:
    world = _MergedWorld(files, text)
    checked = check(world, world.open_main())
    if not checked.has_errors:
        return True
    complain(f"`{files.path}` is merged without a conflict, but the merged text has errors")
    if world.open_sides:
        complain(
            "git does not say which commits are merged: libraries are those of the working tree"
        )
    errors = [diagnostic for diagnostic in checked.diagnostics if diagnostic.is_error]
    print(render_all(errors), end="", file=sys.stderr)
    return False


class _MergedWorld(World):
    """The repository as the merge will leave it: the file as merged, and its libraries as they
    will be."""

    def __init__(self, files: Files, text: str) -> None:
        super().__init__(Path(files.path))
        self._text = text
        self._sides = _sides(files)

    @property
    def open_sides(self) -> bool:
        return self._sides is None

    def _bytes(self, path: Path) -> bytes:
        if path == self.main:
            return self._text.encode()
        if self._sides is None:
            return super()._bytes(path)
        file = PurePosixPath(path.relative_to(self.root).as_posix())
        base, ours, theirs = (_content(side, file) for side in self._sides)
        if ours == theirs or theirs == base:
            kept = ours
        elif ours == base:
            kept = theirs
        else:
            found = _of_library(base, ours, theirs)
            if found is None or found.conflicts:
                raise UnreadableError(
                    "both sides changed it differently, so it is in conflict itself"
                )
            return found.text.encode()
        if kept is None:
            raise UnreadableError("neither side of the merge has this file")
        return kept


def _of_library(base: bytes | None, ours: bytes | None, theirs: bytes | None) -> Merged | None:
    if ours is None or theirs is None:
        return None
    return merge(decoded(base or b""), decoded(ours), decoded(theirs), Labels())


def _content(side: Revision, file: PurePosixPath) -> bytes | None:
    try:
        return side.content(file)
    except UnreadableError:
        return None


def _sides(files: Files) -> Sequence[Revision] | None:
    """The commits that are merged: base, ours, theirs; None if git leaves them open."""
    here = Path.cwd()
    ours = find_commit("HEAD", here)
    heads = [name.removeprefix(_HEAD) for name in os.environ if name.startswith(_HEAD)]
    others = [name for name in heads if name != ours.commit]
    if len(others) == 1:
        theirs = find_commit(others[0], here)
        base = ask(here, "merge-base", ours.commit, theirs.commit).decode().strip()
        return find_commit(base, here), ours, theirs
    found = [_holder(file, files.path) for file in (files.base, files.theirs)]
    if found[0] is None or found[1] is None:
        return None
    return found[0], ours, found[1]


def _holder(file: Path, path: PurePosixPath) -> Revision | None:
    """A revision with this content, if all such revisions have the same libraries."""
    here = Path.cwd()
    reply = ask(here, "hash-object", "--no-filters", "--", str(file.absolute()))
    groups = distinct(holders(reply.decode().strip(), [path], here, on_disk=False))
    return groups[0][0].revision if len(groups) == 1 else None
