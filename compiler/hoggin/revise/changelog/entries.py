"""Makes the change log of revisions. The only place where it uses the comparison."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from hoggin.revise.changelog.document import ChangeLog, Entry, Mark
from hoggin.revise.compare import Side, compare


@dataclass(frozen=True, slots=True)
class Reading:
    """A revision, and its plant or why there is none to read."""

    mark: Mark
    side: Side | None
    trouble: str | None = None


def change_log(readings: Iterable[Reading], threshold: float, *, keep_first: bool) -> ChangeLog:
    """The log of revisions given oldest first.

    threshold: least weight of a consequence that is listed. keep_first: whether the oldest has an
    entry too, or only serves for the next to be compared with.
    """
    entries: list[Entry] = []
    before: Side | None = None
    title = ""
    for number, reading in enumerate(readings):
        after = reading.side
        found = None
        if after is not None:
            found = None if before is None else compare(before, after, threshold)
            before, title = after, after.plant.title
        if number or keep_first:
            entries.append(Entry(mark=reading.mark, comparison=found, trouble=reading.trouble))
    return ChangeLog(title=title, entries=tuple(reversed(entries)))
