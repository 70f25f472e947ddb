"""The revisions of a plant: the commits of one line of history that changed its file or a library
of its own, or those that are tagged."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import PurePosixPath

from hoggin.revisions.commits import Commit, find_commit
from hoggin.revisions.git import ask, hashes
from hoggin.revisions.libraries import Contents, contents
from hoggin.world import UnreadableError

_SHORT = 10  # letters of a hash, as it is shown
_FORMAT = "%H%x00%cI%x00%an%x00%s%x00"


@dataclass(frozen=True, slots=True)
class Stand:
    """The plant as a commit has it. date: the commit's own. path: what the file is called there."""

    revision: Commit
    path: PurePosixPath
    date: str
    by: str
    subject: str
    tags: tuple[str, ...]


def history(
    tip: Commit, path: PurePosixPath, since: str | None = None, *, only_tags: bool = False
) -> list[Stand]:
    """The plant's revisions up to a commit, newest first. A merge counts as one revision of the
    line it came into.

    since: a revision that stands last, for the others to be compared with. only_tags: of what is
    tagged, and the tip. Raises UnreadableError.
    """
    first = None if since is None else _ancestor(since, tip)
    tags = _tags(tip)
    walked = list(_walked(tip, tags, first, only_tags=only_tags))
    stands = list(_with_paths(walked, path, tip))
    if not stands:
        raise UnreadableError(f"no commit up to {tip.name} holds `{path}`")
    kept = _changed(stands, tip, keep_all=only_tags)
    if first is None:
        return kept
    newer = [stand for stand in kept if stand.revision.commit != first.commit]
    return newer + [stand for stand in stands if stand.revision.commit == first.commit]


def _ancestor(name: str, tip: Commit) -> Commit:
    found = find_commit(name, tip.root)
    base = ask(tip.root, "merge-base", found.commit, tip.commit).decode().strip()
    if base != found.commit:
        raise UnreadableError(f"`{name}` is not an earlier revision of {tip.name}")
    return found


def _tags(tip: Commit) -> Mapping[str, tuple[str, ...]]:
    """The tags of commits up to the tip."""
    form = "--format=%(objectname) %(*objectname) %(refname:strip=2)"
    reply = ask(tip.root, "for-each-ref", f"--merged={tip.commit}", form, "refs/tags")
    found: dict[str, tuple[str, ...]] = {}
    for line in os.fsdecode(reply).splitlines():
        tagged, peeled, name = line.split(" ", 2)
        commit = peeled or tagged
        found[commit] = (*found.get(commit, ()), name)
    return found


def _walked(
    tip: Commit, tags: Mapping[str, tuple[str, ...]], first: Commit | None, *, only_tags: bool
) -> Iterator[Stand]:
    """The commits to look at, newest first; `first` at the end. Paths come later."""
    line = ["--topo-order"] if only_tags else ["--first-parent"]
    wanted = [tip.commit] if first is None else [tip.commit, f"^{first.commit}"]
    reply = ask(tip.root, "log", *line, f"--format={_FORMAT}", *wanted, "--")
    if first is not None:
        reply += ask(tip.root, "log", "-1", f"--format={_FORMAT}", first.commit, "--")
    fields = reply.decode(errors="replace").split("\0")
    for place in range(0, len(fields) - 4, 4):
        commit, date, by, subject = fields[place : place + 4]
        commit = commit.strip()
        at_end = commit == tip.commit or (first is not None and commit == first.commit)
        if not only_tags or at_end or commit in tags:
            own = tags.get(commit, ())
            name = own[0] if own else commit[:_SHORT]
            revision = Commit(tip.root, name, commit)
            yield Stand(revision, PurePosixPath(), date, by, subject, own)


def _with_paths(walked: Sequence[Stand], path: PurePosixPath, tip: Commit) -> Iterator[Stand]:
    """Those that hold the file, by the name it had then."""
    place = 0
    while place < len(walked):
        rest = walked[place:]
        held = hashes(tip.root, [(stand.revision.commit, path) for stand in rest])
        holds = held[0] is not None
        run = next((n for n, digest in enumerate(held) if (digest is not None) != holds), len(rest))
        place += run
        if holds:
            yield from (replace(stand, path=path) for stand in rest[:run])
            if place < len(walked):
                newer, older = rest[run - 1].revision, walked[place].revision
                path = _earlier_name(older, newer, path) or path


def _earlier_name(older: Commit, newer: Commit, path: PurePosixPath) -> PurePosixPath | None:
    """What a file that a commit brought was called before, where git takes it for a renamed one."""
    how = ("-r", "-z", "-M", "--diff-filter=R", "--name-status")
    reply = ask(newer.root, "diff-tree", *how, older.commit, newer.commit, "--")
    fields = os.fsdecode(reply).split("\0")
    for place in range(0, len(fields) - 2, 3):
        if PurePosixPath(fields[place + 2]) == path:
            return PurePosixPath(fields[place + 1])
    return None


def _changed(stands: Sequence[Stand], tip: Commit, *, keep_all: bool) -> list[Stand]:
    """Those at which the plant's file or a library of its own is not as it was before."""
    paths = {stand.path for stand in stands}
    found: dict[str, Contents] = {}
    for path in paths:
        commits = [stand.revision.commit for stand in stands if stand.path == path]
        found.update(contents(tip.root, commits, path, lambda asked: hashes(tip.root, asked)))

    def stated(stand: Stand) -> list[str | None]:
        own = found[stand.revision.commit]
        return [own[stand.path], *(own[file] for file in sorted(own) if file != stand.path)]

    kept = []
    for stand, before in zip(stands, [*stands[1:], None], strict=True):
        same = before is not None and stated(stand) == stated(before)
        if not same or (keep_all and stand.tags):
            kept.append(stand)
    return kept
