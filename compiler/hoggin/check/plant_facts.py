"""A plant's own lines by name; its `project` and its `history` of revisions."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import date

from hoggin.check.evaluate import evaluate, text_of
from hoggin.check.loader import misplaced
from hoggin.check.scope import Scope, Session, once
from hoggin.check.stated import stated
from hoggin.check.values import String, Unknown
from hoggin.diagnostics.families.classes import E0401, E0402, E0403
from hoggin.diagnostics.families.names import E0202
from hoggin.diagnostics.source import Span
from hoggin.schema.facts import facts_of, operation_of
from hoggin.schema.plant import Project, Revision
from hoggin.syntax import tree

_PROJECT = "project"
_DESCRIPTION = "description"
_ISSUE = (_DESCRIPTION, "date", "drawn", "checked", "approved")  # what is said of a revision
_HOURS = {**facts_of("case"), **operation_of("plant")}


def plant_fact(node: tree.PlantDefinition, name: str) -> tree.Fact | None:
    """A plant's own line by its first word, those of its `operation` among them."""
    within = next((one.body for one in node.body if isinstance(one, tree.Operation)), ())
    lines = within if name in operation_of("plant") else node.body
    return next((f for f in lines if isinstance(f, tree.Fact) and f.name.text == name), None)


def plant_number(
    node: tree.PlantDefinition, name: str, scope: Scope, session: Session
) -> float | None:
    """A number the plant states, in the trade's unit; None where it states none, where it is not
    known yet, or after a reported fault."""
    line = plant_fact(node, name)
    known = {**facts_of("plant"), **operation_of("plant")}
    found = None if line is None else stated(known[name], line, scope, session)
    return None if found is None else found.in_trade_unit()


@dataclass(eq=False)
class RunningHours:
    """The hours a year that a plant runs at the balance's rates, by where a rate is written: those
    of a case within its block, and in what is required in it alone. Each line is read when a rate
    first needs it, as it may depend on a `let`."""

    node: tree.PlantDefinition
    scope: Scope
    session: Session
    known: dict[tree.Fact, float | None] = field(default_factory=dict)

    def __call__(self, span: Span) -> float | None:
        """None where the plant states none, NaN after a reported fault."""
        line = self._line(span)
        if line is None:
            return None
        if line not in self.known:
            self.known[line] = None  # hours that need themselves are none
            self.known[line] = self._hours(line)
        return self.known[line]

    def _line(self, span: Span) -> tree.Fact | None:
        years = self.node.years
        if not years:
            return plant_fact(self.node, "hours_per_year")
        return next((one for one in years if one.span.holds(span)), years[-1]).hours

    def _hours(self, line: tree.Fact) -> float:
        found = stated(_HOURS[line.name.text], line, self.scope, self.session)
        share = plant_availability(self.node, self.scope, self.session)
        return math.nan if found is None or share is None else found.in_trade_unit() * share


def plant_availability(node: tree.PlantDefinition, scope: Scope, session: Session) -> float | None:
    """Share of its hours that the plant runs; None where it is not known, or after a reported
    fault."""
    if plant_fact(node, "availability") is None:
        return 1.0
    return plant_number(node, "availability", scope, session)


def history(
    node: tree.PlantDefinition, revision: str, scope: Scope, session: Session
) -> tuple[Revision, ...]:
    """The revisions a plant lists, in its own order; `revision` is the one the file is at.

    Each mark is listed once, and where there is a history the plant's own revision is in it.
    """
    fact = plant_fact(node, "history")
    if fact is None:
        return ()
    if not fact.entries:
        session.report(E0403.no_history(), fact.span)
        return ()
    found: dict[str, Revision] = {}
    first: dict[str, Span] = {}
    whole = True
    for entry in fact.entries:
        said = _entry(entry, scope, session)
        if said is None:
            whole = False
        elif said.mark in found:
            session.report(E0202.revision(said.mark), entry.span, first[said.mark])
        else:
            found[said.mark], first[said.mark] = said, entry.span
    if whole and revision not in found:
        session.report(
            E0402.revision_unlisted(revision) if revision else E0402.revision_missing(),
            fact.name.span,
        )
    return tuple(found.values())


def project(node: tree.PlantDefinition, scope: Scope, session: Session) -> Project:
    """What the plant's `project` block says, for the title blocks of documents."""
    known = facts_of("plant.project")
    found: dict[str, str] = {}
    blocks: dict[str, Span] = {}
    first: dict[str, Span] = {}
    for block in node.body:
        if not isinstance(block, tree.Project):
            continue
        start = block.span.start
        word = tree.Ident(Span(block.span.source, start, start + len(_PROJECT)), _PROJECT)
        once(blocks, word, session)
        for line in block.body:
            if not isinstance(line, tree.Fact):
                misplaced(line, "in a `project`", session)
            elif line.name.text not in known:
                fault = E0403.unknown("a project", line.name.text, known)
                session.report(fault, line.name.span)
            elif line.value is None:
                sample = known[line.name.text].sample
                session.report(E0403.no_value_such_as(line.name.text, sample), line.span)
            elif once(first, line.name, session):
                text = text_of(line.value, line.name.text, scope, session)
                found |= {} if text is None else {line.name.text: text}
    return Project(**found)


def _entry(entry: tree.Entry, scope: Scope, session: Session) -> Revision | None:
    """`"A": "first issue"`, or `"A": { description: "first issue", date: "2026-03-31" }`."""
    if entry.value is None or entry.upper is not None:
        return session.report(E0401.revision(), entry.span)
    mark = _words(entry.key, scope, session)
    if isinstance(entry.value, tree.Row):
        said = _issue(entry.value, scope, session)
    else:
        text = _words(entry.value, scope, session)
        said = None if text is None else {_DESCRIPTION: text}
    if mark is None or said is None:
        return None
    if _DESCRIPTION not in said:
        return session.report(E0401.revision(), entry.span)
    return Revision(mark=mark, text=said.pop(_DESCRIPTION), **said)


def _issue(row: tree.Row, scope: Scope, session: Session) -> dict[str, str] | None:
    """What is said of one revision, by name; None after a reported fault."""
    found: dict[str, str] = {}
    first: dict[str, Span] = {}
    for entry in row.entries:
        name = entry.key.parts[0] if isinstance(entry.key, tree.Path) else None
        if name is None or name.text not in _ISSUE or entry.value is None:
            return session.report(
                E0403.unknown("a revision", entry.key.span.text, _ISSUE), entry.key.span
            )
        text = _words(entry.value, scope, session)
        if text is None or not once(first, name, session):
            return None
        if name.text == "date" and not _is_date(text):
            return session.report(E0401.date(text), entry.value.span)
        found[name.text] = text
    return found


def _is_date(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def _words(node: tree.Expression, scope: Scope, session: Session) -> str | None:
    value = evaluate(node, scope, session)
    if isinstance(value, String):
        return value.text
    if not isinstance(value, Unknown):
        session.report(E0401.revision_text(), node.span)
    return None
