"""`hoggin changes`: the change log of a plant kept in git, as Markdown."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator
from pathlib import Path, PurePosixPath

from hoggin.commands.arguments import LEAST_WEIGHT
from hoggin.commands.comparing import Place, read_side, side_of, why
from hoggin.commands.designs import in_revision, path_from_root
from hoggin.commands.running import write_files
from hoggin.commands.showing import shown
from hoggin.errors import Exit, HogginError
from hoggin.progress import Working, working
from hoggin.report import changelog
from hoggin.report.drawing.model import Drawing
from hoggin.report.results_json import found_json
from hoggin.report.revised.drawing import compared
from hoggin.revise.changelog import ChangeLog, Mark, Reading, change_log
from hoggin.revise.compare import compare
from hoggin.revisions import Commit, RevisionWorld, find_commit
from hoggin.revisions.history import Stand, history
from hoggin.schema.results import Results
from hoggin.world import UnreadableError, named


def changes(options: argparse.Namespace) -> int:
    with named(options.plant), working("balancing the revisions") as line:
        log = log_of(options.plant, options.since, options.min_weight, line, only_tags=options.tags)
    text = _printed(log, options.form)
    if options.into is not None:
        write_files({options.into.name: text}, options.into.parent)
    else:
        print(text, end="")
    return Exit.DONE


def log_of(
    plant: str, since: str | None, least: float, line: Working, *, only_tags: bool
) -> ChangeLog:
    """The log of a file, or of REVISION:FILE to end with that revision. Raises UnreadableError."""
    tip, path = _tip(plant)
    stands = history(tip, path, since, only_tags=only_tags)
    counted = line.each("balancing revision", stands[::-1])
    return change_log(_readings(counted), least, keep_first=since is None)


def drawn_since(plant: str, since: str, after: Results) -> Drawing:
    """What was changed since a revision, drawn: of the plant as written, or of a case of it.

    Raises UnreadableError, or HogginError where the earlier plant can't be drawn.
    """
    with named(plant):
        tip, path = _tip(plant)
        earliest = history(tip, path, since, only_tags=False)[-1]
    name = earliest.revision.name_of(earliest.path)
    before = read_side(Place(name, RevisionWorld(earliest.revision, earliest.path)))
    if after.plant is not None and after.plant.case:
        if after.plant.case not in before.cases:
            raise HogginError(f"`{name}` has no case `{after.plant.case}`")
        before = before.cases[after.plant.case]
    if before.results is None:
        raise HogginError(f"`{name}` can't be balanced, so the changes since then can't be drawn")
    comparison = compare(before, side_of(plant, after), LEAST_WEIGHT)
    return compared(before.results, after, comparison)


def _tip(plant: str) -> tuple[Commit, PurePosixPath]:
    found = in_revision(plant)
    if found is None:
        tip = find_commit("HEAD", Path(plant).absolute().parent)
        return tip, path_from_root(plant, tip.root)
    revision, path = found
    if not isinstance(revision, Commit):
        raise UnreadableError("the index is not a revision yet: name a commit")
    return revision, path


def _readings(stands: Iterable[Stand]) -> Iterator[Reading]:
    for stand in stands:
        mark = Mark(
            name=stand.revision.name,
            commit=stand.revision.commit,
            path=f"{stand.path}",
            date=stand.date,
            by=stand.by,
            subject=stand.subject,
            tags=stand.tags,
        )
        name = stand.revision.name_of(stand.path)
        try:
            yield Reading(mark, read_side(Place(name, RevisionWorld(stand.revision, stand.path))))
        except HogginError as fault:
            yield Reading(mark, None, why(fault))


def _printed(log: ChangeLog, form: str) -> str:
    """As Markdown, for a terminal or as JSON."""
    if form == "json":
        return found_json(log)
    if form == "markdown":
        return changelog.markdown(log)
    return "\n".join(map(shown, changelog.documents(log)))
