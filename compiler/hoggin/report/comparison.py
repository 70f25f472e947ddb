"""The comparison of two revisions as a document: requirements and products, what was changed, and
the effect on the plant, its machines and its streams."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from hoggin.report import wording
from hoggin.report.fields import Field, number, table, verdict, words
from hoggin.report.tables import Document, Section
from hoggin.revise.compare.comparison import (
    Change,
    Comparison,
    Consequence,
    Group,
    RequirementChange,
    Revision,
    Turn,
)
from hoggin.schema.units import LENGTH, result_unit, units_of

MOST_ROWS = 40
"""Rows of a table for people, where not all are asked for; the JSON has them all."""

_MOST_ALSO = 2
_SIZES = units_of(LENGTH)
_TENTHS = ("t/h", "t/y", "%", "kW", "h")  # units of which a tenth is enough
_HEADINGS: dict[Group, str] = {
    "product": "Products",
    "plant": "Plant",
    "machine": "Machines",
    "stream": "Streams",
    "dust": "Dust",
}
_WEIGHT = (
    "Weight of a difference: for a rate, per cent of the plant's feed; for power, per cent of the "
    "plant's power; for a result in per cent, points; otherwise, per cent of the result."
)


@dataclass(frozen=True, slots=True)
class Ways:
    """How a reader gets what is not listed, where there is a way: results of less weight, and the
    rows of a table that is cut."""

    lighter: str = ""
    rows: str = ""


def document(
    comparison: Comparison, *, everything: bool = False, ways: Ways | None = None
) -> Document:
    """The document for terminal and Markdown. `everything`: no table is cut, and every sieve of a
    grading has its row."""
    subtitle = f"{_side('Before', comparison.before)}; {_side('after', comparison.after)}."
    sections = tuple(_sections(comparison, None if everything else MOST_ROWS, ways or Ways()))
    return Document(f"Comparison: {comparison.after.title}", subtitle, sections)


def _sections(comparison: Comparison, most: int | None, ways: Ways) -> Iterable[Section]:
    """What differs in the plant as it is written, then in each of its cases."""
    yield from _of_one(comparison, most, ways)
    for case in comparison.cases:
        for section in _of_one(case, most, ways):
            if section.heading != "Not listed":
                yield replace(section, heading=f"Case {case.case}: {section.heading.lower()}")


def _of_one(comparison: Comparison, most: int | None, ways: Ways) -> Iterable[Section]:
    """most: rows of a table; None where all are asked for."""
    cut = _Cut(most, ways.rows)
    if comparison.notes:
        yield Section("Note", comparison.notes)
    unsettled = [r for r in (comparison.before, comparison.after) if r.unsettled is not None]
    if comparison.same and not unsettled:
        yield Section("Nothing differs", ("Both state the same plant and have the same results.",))
        return
    if comparison.requirements:
        yield _requirements(comparison.requirements, cut)
    told = comparison.consequences if most is None else _worst_sieves(comparison.consequences)
    by_group = {group: [c for c in told if c.group == group] for group in _HEADINGS}
    if by_group["product"]:
        yield _group("product", by_group["product"], cut)
    yield _changes(comparison.changes, cut)
    if comparison.other_currency:
        yield Section("Money", (_in_other_currency(comparison.other_currency),))
    if unsettled:
        said = tuple(f"{r.name} can't be balanced: {r.unsettled}" for r in unsettled)
        yield Section("Effect on results", (*said, "So there are no results to compare."))
        return
    if comparison.turns:
        yield _turns(comparison.turns, cut)
    for group, found in by_group.items():
        if found and group != "product":
            yield _group(group, found, cut)
    yield from _rest(comparison, len(told), ways)


def _side(word: str, revision: Revision) -> str:
    mark = f", revision {wording.clean(revision.revision)}" if revision.revision else ""
    digest = f", content {revision.content_sha256[:12]}" if revision.content_sha256 else ""
    return f"{word}: {wording.clean(revision.name)}{mark}{digest}"


def _in_other_currency(count: int) -> str:
    some = "The 1 result" if count == 1 else f"All {count} results"
    verb = "is" if count == 1 else "are"
    return f"{some} in money {verb} in another currency than before. Nothing is converted."


def _rest(comparison: Comparison, shown: int, ways: Ways) -> Iterable[Section]:
    """How much differs that has no row."""
    rest, least = comparison.below_threshold, f"{comparison.threshold:g}"
    sieves = len(comparison.consequences) - shown
    notes = []
    if not comparison.consequences:
        none = "No other result" if comparison.other_currency else "No result"
        notes.append(f"{none} differs by {least} or more." if rest else f"{none} differs.")
    if rest:
        notes.append(_with_way(f"{rest} more differ by a weight under {least}", ways.lighter))
    if sieves > 0:
        notes.append(_with_way(f"{sieves} more sieves of these gradings differ", ways.rows))
    if notes:
        yield Section("Not listed", tuple(notes))


def _with_way(said: str, way: str) -> str:
    return f"{said}: {way}." if way else f"{said}."


@dataclass(frozen=True, slots=True)
class _Cut:
    """Where a table is cut, and how a reader gets the rest."""

    most: int | None
    way: str


def _listed(
    heading: str,
    fields: Sequence[Field],
    things: Sequence[object],
    cut: _Cut,
    *notes: str,
    keys: int = 2,  # of what, and what
) -> Section:
    """A section with a table, cut where it is long and not all is requested."""
    if cut.most is not None and len(things) > cut.most:
        notes = (*notes, _with_way(f"The first {cut.most} of {len(things)}", cut.way))
    return Section(heading, notes, table(heading, fields, things[: cut.most], keys))


# -- requirements and verdicts ------------------------------------------------------------------


def _requirements(changes: Sequence[RequirementChange], cut: _Cut) -> Section:
    fields = (
        words("requirement", lambda change: change.text, 36),
        verdict(_verdict_of, 18),
        words("before", lambda change: change.before and change.before.value),
        words("margin", lambda change: change.before and change.before.margin, 18),
        words("after", lambda change: change.after and change.after.value),
        words("margin", lambda change: change.after and change.after.margin, 18),
    )
    return _listed("Requirements", fields, changes, cut, keys=1)


def _verdict_of(change: RequirementChange) -> str:
    """`met`, or both verdicts where they are not the same."""
    words = [
        "not required" if one is None else "met" if one.met else one.verdict.upper()
        for one in (change.before, change.after)
    ]
    return " -> ".join(dict.fromkeys(words))


def _turns(turns: Sequence[Turn], cut: _Cut) -> Section:
    fields = (
        words("of", lambda turn: turn.subject, 28),
        words("limit", lambda turn: turn.what, 22),
        verdict(lambda turn: _verdict(turn.before, turn.before_text), 34, "before"),
        verdict(lambda turn: _verdict(turn.after, turn.after_text), 34, "after"),
    )
    return _listed("Limits and warnings", fields, turns, cut)


def _verdict(word: str, text: str) -> str:
    """A verdict that needs attention is in capitals, as in the schedule."""
    loud = word.upper() if word in ("watch", "over limit", "warning") else word
    return ": ".join(part for part in (loud, text) if part) or "-"


def _changes(changes: Sequence[Change], cut: _Cut) -> Section:
    if not changes:
        return Section("What was changed", ("Nothing: both revisions state the same plant.",))
    fields = (
        words("of", lambda change: change.subject),
        words("what", what_of, 22),
        words("before", lambda change: change.before, 34),
        words("after", lambda change: change.after, 34),
    )
    return _listed("What was changed", fields, changes, cut)


def what_of(change: Change) -> str:
    """The fact that was changed, or what became of the thing."""
    return change.what if change.kind == "changed" else change.kind


# -- results ------------------------------------------------------------------------------------


def _worst_sieves(consequences: Sequence[Consequence]) -> list[Consequence]:
    """Of each grading the one sieve that differs most."""
    found: list[Consequence] = []
    seen: set[tuple[str, str]] = set()
    for consequence in consequences:  # heaviest first
        match consequence.what.rsplit(" ", 2):
            case [what, _, unit] if unit in _SIZES and what.endswith("passing"):
                grading = (consequence.subject, what)
                if grading in seen:
                    continue
                seen.add(grading)
        found.append(consequence)
    return found


def _group(group: Group, consequences: Sequence[Consequence], cut: _Cut) -> Section:
    fields = (
        words("of", _where, 28),
        words("what", lambda c: c.what, 26),
        number("before", "", "number", lambda c: both_values(c)[0]),
        number("after", "", "number", lambda c: both_values(c)[1]),
        number("difference", "", "number", _difference),
        words("unit", lambda c: c.unit, 8),
        number("weight", "%", "rate", lambda c: c.weight),
    )
    notes = (_WEIGHT,) if group == "product" else ()
    return _listed(_HEADINGS[group], fields, consequences, cut, *notes)


def _difference(c: Consequence) -> str:
    gap = None if c.before is None or c.after is None else c.after - c.before
    sign = "+" if gap is not None and gap > 0 else ""
    return sign + _number(gap, c.unit)


def _where(c: Consequence) -> str:
    """The subject, and where else the same two values are."""
    places = dict.fromkeys(where.partition(": ")[0] for where in c.also)
    others = [place for place in places if place != c.subject]
    if not others:
        return c.subject
    rest = len(others) - _MOST_ALSO
    more = f" and {rest} more" if rest > 0 else ""
    return f"{c.subject} (also {', '.join(others[:_MOST_ALSO])}{more})"


def both_values(c: Consequence) -> tuple[str, str]:
    """The values before and after; in more digits where they would read alike."""
    shown = (_number(c.before, c.unit), _number(c.after, c.unit))
    if shown[0] == shown[1]:
        shown = (wording.significant(c.before, 5), wording.significant(c.after, 5))
    return shown


def _number(value: float | None, unit: str) -> str:
    if (result_unit(unit) or unit) in _TENTHS and (value is None or abs(value) >= 0.05):
        return wording.fixed(value, 1)
    small = value is not None and abs(value) < 1
    return wording.significant(value, 3) if small else wording.fixed(value, 2)
