"""The comparison of two revisions as a document: what was changed, what turned, what follows."""

from __future__ import annotations

import json

from hoggin.report import wording
from hoggin.report.tables import Column, Document, Section, Table
from hoggin.revise.compare.comparison import Change, Comparison, Consequence, Revision, Turn

MOST_ROWS = 40
"""Rows of a table for people; the JSON has them all. A pull request's comment holds as much."""


def document(comparison: Comparison) -> Document:
    """The document for terminal and Markdown."""
    sections = [_changes(comparison.changes)]
    same = comparison.same and not comparison.below_threshold
    unsettled = [r for r in (comparison.before, comparison.after) if r.unsettled is not None]
    if unsettled:
        said = tuple(f"{r.name} can't be balanced: {r.unsettled}" for r in unsettled)
        sections.append(Section("What follows", (*said, "So there are no results to compare.")))
    elif same:
        sections = [
            Section("Nothing differs", ("Both state the same plant, with the same results.",))
        ]
    else:
        sections += [*_turns(comparison.turns), _consequences(comparison)]
    return Document(
        title=f"Comparison: {comparison.after.title}",
        subtitle=f"{_side('Before', comparison.before)}; {_side('after', comparison.after)}.",
        sections=tuple(sections),
    )


def comparison_json(comparison: Comparison) -> str:
    """The whole comparison, numbers to nine significant digits."""
    from hoggin.report.results_json import rounded

    content = rounded(comparison.model_dump(mode="json"))
    return json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _side(word: str, revision: Revision) -> str:
    mark = f", revision {wording.clean(revision.revision)}" if revision.revision else ""
    digest = f", content {revision.content_sha256[:12]}" if revision.content_sha256 else ""
    return f"{word}: {wording.clean(revision.name)}{mark}{digest}"


def _changes(changes: tuple[Change, ...]) -> Section:
    if not changes:
        return Section("What was changed", ("Nothing: both state the same plant.",))
    rows = tuple(
        (c.subject, c.what if c.kind == "changed" else c.kind, c.before, c.after)
        for c in changes[:MOST_ROWS]
    )
    columns = (Column("of"), Column("what", width=22), *_before_after(34))
    return Section("What was changed", _more(len(changes)), Table("Changes", columns, rows))


def _before_after(width: int) -> tuple[Column, Column]:
    return Column("before", width=width), Column("after", width=width)


def _more(count: int) -> tuple[str, ...]:
    return (f"The first {MOST_ROWS} of {count}; the JSON has all.",) if count > MOST_ROWS else ()


def _turns(turns: tuple[Turn, ...]) -> list[Section]:
    if not turns:
        return []
    rows = tuple(
        (
            turn.subject,
            _verdict(turn.before, turn.before_text),
            _verdict(turn.after, turn.after_text),
        )
        for turn in turns[:MOST_ROWS]
    )
    columns = (Column("verdict on", width=30), *_before_after(34))
    return [Section("Verdicts that turned", _more(len(turns)), Table("Verdicts", columns, rows))]


def _verdict(word: str, text: str) -> str:
    """What is not as it should be stands in capitals, as in the schedule."""
    loud = word.upper() if word in ("not met", "watch", "over limit") else word
    return f"{loud}: {text}" if text and loud else loud or "not asked"


def _consequences(comparison: Comparison) -> Section:
    rest = comparison.below_threshold
    least = f"{comparison.threshold:g}"
    told = comparison.consequences
    notes = [
        *_more(len(told)),
        *([f"{rest} more results differ by a weight under {least}."] if rest else []),
    ]
    if not told:
        nothing = "No result differs." if not rest else f"No result differs by {least} or more."
        return Section("What follows", (nothing, *notes))
    columns = (
        Column("weight", "%", "rate"),
        Column("of", width=40),
        Column("what", width=26),
        Column("before", kind="number"),
        Column("after", kind="number"),
        Column("difference", kind="number"),
        Column("unit", width=8),
    )
    rows = tuple(_row(c) for c in told[:MOST_ROWS])
    weight = (
        "Weight: per cent of plant feed for rates, of the plant's power for power, points for "
        "passing and loads, per cent of itself for all else."
    )
    return Section("What follows", (weight, *notes), Table("Results", columns, rows))


def _row(c: Consequence) -> tuple[float | str | None, ...]:
    gap = None if c.before is None or c.after is None else c.after - c.before
    sign = "+" if gap is not None and gap > 0 else ""
    said = (_number(c.before, c.unit), _number(c.after, c.unit), sign + _number(gap, c.unit))
    return (c.weight, c.subject, c.what, *said, c.unit)


def _number(value: float | None, unit: str) -> str:
    if unit in ("t/h", "%", "kW", "h"):
        return wording.fixed(value, 1)
    return wording.fixed(value, 2)
