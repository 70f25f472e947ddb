"""The change log of a plant as Markdown, for a terminal and as JSON."""

from __future__ import annotations

from hoggin.report import comparison, text, wording
from hoggin.report.tables import Document, Section
from hoggin.revise.changelog import ChangeLog, Entry

_CAUTION = (
    "Results are predictions for design, not guarantees. A changed plant needs its guarding, dust "
    "control and lock-out reviewed under local codes and by licensed practice."
)


def markdown(log: ChangeLog) -> str:
    entries = [text.markdown(_entry(entry), level=2) for entry in log.entries]
    return "\n".join([text.markdown(_head(log)), *entries])


def documents(log: ChangeLog) -> tuple[Document, ...]:
    """What the log says of all its revisions, then each."""
    return (_head(log), *map(_entry, log.entries))


def _head(log: ChangeLog) -> Document:
    count = len(log.entries)
    said = f"{count} revision{'' if count == 1 else 's'}, newest first. {_CAUTION}"
    return Document(f"Changes: {log.title}", said, ())


def sections(log: ChangeLog) -> tuple[Section, ...]:
    """The log as sections of another document: each entry's own heading, then what is in it."""
    found: list[Section] = []
    for one in map(_entry, log.entries):
        found += [Section(one.title, (one.subtitle,)), *one.sections]
    return tuple(found)


def _entry(entry: Entry) -> Document:
    mark = entry.mark
    names = ", ".join(mark.tags) or mark.name
    of = f", commit {mark.commit[:10]}" if mark.tags else ""
    said = f"{wording.clean(mark.subject)} ({wording.clean(mark.by)}{of})."
    if entry.comparison is not None:
        said += f" Compared with {wording.clean(entry.comparison.before.name)}."
    return Document(f"{names}, {mark.date[:10]}", said, _sections(entry))


def _sections(entry: Entry) -> tuple[Section, ...]:
    if entry.trouble is not None:
        said = f"This revision can't be read, so it is left out of the comparisons: {entry.trouble}"
        return (Section("Not read", (said,)),)
    if entry.comparison is None:
        return (Section("First revision", ("There is no earlier revision to compare with.",)),)
    return comparison.document(entry.comparison).sections
