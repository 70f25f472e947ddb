"""Cases of a plant: each is checked as the plant it stands for, and what is wrong there is reported
with the case's name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from math import fsum

from hoggin.check.loader import Read, misplaced
from hoggin.check.network import Body, Node
from hoggin.check.scope import Scope, Session, once
from hoggin.check.stated import stated as stated_number
from hoggin.check.words import cited, words
from hoggin.diagnostics.diagnostic import Diagnostic, Diagnostics
from hoggin.diagnostics.families.cases import E0212, W0104
from hoggin.diagnostics.families.classes import E0403
from hoggin.diagnostics.families.names import E0202
from hoggin.diagnostics.families.templates import E0703
from hoggin.diagnostics.fault import Fault
from hoggin.diagnostics.source import Source, Span
from hoggin.schema.facts import facts_of, operation_of
from hoggin.schema.plant import Case, Plant
from hoggin.schema.units import number_text
from hoggin.syntax import tree
from hoggin.syntax.cases import (
    HOURS,
    YEAR_OF_PLANT,
    Lost,
    begun_from,
    cases_of,
    hours_of,
    in_case,
    requirements_of,
)

MOST_CASES = 100  # of a plant: it is checked once in each
_UNUSED = "W0101"
_YEAR_H = operation_of("plant")["hours_per_year"].high
_Found = tuple[Diagnostic, ...]


def check_cases(node: tree.PlantDefinition, body: Body, scope: Scope, session: Session) -> None:
    """Report what is wrong with a plant's cases by themselves, and with the names that requirements
    have of them; the plant's session keeps those that can be put on it."""
    cases = cases_of(node)
    first: dict[str, Span] = {}
    for case in (one for one in node.body if isinstance(one, tree.Case)):
        name = case.name
        if name.text in first:
            session.report(E0202.case(name.text), name.span, first[name.text])
            continue
        first[name.text] = name.span
        if _holds(case, cases, session):
            session.cases[name.text] = case
        _lines(case, body, scope, session)
    if len(first) > MOST_CASES:
        session.report(E0703.cases(MOST_CASES), first[list(first)[MOST_CASES]])
        session.cases.clear()  # none are gone through
    for name in _named(node.body):
        if name.text in cases:
            session.names.uses[name] = cases[name.text].name
        elif name.text not in session.lost_names:
            session.report(E0212.no_case(name.text, cases), name.span)


def _holds(case: tree.Case, cases: Mapping[str, tree.Case], session: Session) -> bool:
    """Whether a case begins from the plant in the end; reported where not."""
    if case.of is not None and case.of.text not in cases:
        if case.of.text not in session.lost_names:
            session.report(E0212.no_case(case.of.text, cases), case.of.span)
        return False
    if case.of is not None:
        session.names.uses[case.of] = cases[case.of.text].name
    chain = begun_from(case, cases)
    if len(chain) > 1 and chain[-1] in chain[:-1]:
        if case is min(chain, key=lambda one: one.span.start) and chain[-1] is case:
            session.report(E0212.circle(one.name.text for one in chain), case.name.span)
        return False
    return all(one.of is None or one.of.text in cases for one in chain)


def _lines(case: tree.Case, body: Body, scope: Scope, session: Session) -> None:
    first: dict[str, Span] = {}
    for line in case.body:
        if not isinstance(line, tree.Fact):
            misplaced(line, "in a case", session)
            continue
        once(first, line.name, session)
        if line.value is None and line.entries is None:
            session.report(E0403.no_value(line.name.text), line.span)
        elif line.name.text == HOURS:
            stated_number(facts_of("case")[HOURS], line, scope, session)
        elif line.name.text == YEAR_OF_PLANT:
            session.report(E0212.year(), line.name.span)
        elif not isinstance(line.name, tree.DottedIdent) and line.value is None:
            session.report(E0212.one_value(line.name.text), line.span)
        _note_names(line.name, body, scope, session)


def _note_names(name: tree.Ident, body: Body, scope: Scope, session: Session) -> None:
    """Note what the names of a line stand for. To be set elsewhere does not make a name used."""
    parts = name.parts if isinstance(name, tree.DottedIdent) else (name,)
    head = body.idents.get(parts[0].text) if len(parts) > 1 else None
    entity = scope.find(parts[0].text)
    if head is not None:
        session.names.uses[parts[0]] = head
        node = body.names[parts[0].text]
        inner = node.parts.get(parts[1].text) if isinstance(node, Node) else None
        if inner is not None:
            session.names.uses[parts[1]] = inner
    elif entity is not None:
        session.names.uses[parts[0]] = entity


def _named(body: tuple[tree.Statement, ...]) -> Iterator[tree.Ident]:
    """The cases that requirements name."""
    for requirement in requirements_of(body):
        yield from requirement.cases


def reading(read: Read, main: str, name: str) -> Read:
    """A reader that gives the main file as it is in a case."""

    def read_case(source: Source, diagnostics: Diagnostics) -> tree.File:
        file = read(source, diagnostics)
        if source.name != main:
            return file
        found, lost = in_case(file, name)
        for one in lost:
            if not one.is_list and not _was_lost(one.name, file.lost_names):
                diagnostics.report(_of_nothing(one), one.place.span)
        return found

    return read_case


def _was_lost(name: tree.Ident, lost_names: frozenset[str]) -> bool:
    return bool(lost_names) and (
        "*" in lost_names or any(part in lost_names for part in name.text.split("."))
    )


def _of_nothing(lost: Lost) -> Fault:
    name = lost.name.text
    if lost.of:
        value = lost.value
        return E0212.no_option(lost.of, value.dotted if value else name, lost.known)
    return E0212.of_nothing(name, (one for one in lost.known if ("." in one) == ("." in name)))


def across_cases(found: _Found, of_cases: Mapping[str, _Found]) -> _Found:
    """Diagnostics of a plant as it is written, and those of its cases, which are reported with the
    case's name. A name that any case uses is used."""
    known = {_place(diagnostic) for diagnostic in found}
    unused = {_place(d) for d in found if d.code == _UNUSED}
    more: dict[tuple[str, int, str], Diagnostic] = {}
    for name, others in of_cases.items():
        unused &= {_place(diagnostic) for diagnostic in others}
        for diagnostic in others:
            if diagnostic.code != _UNUSED and _place(diagnostic) not in known:
                told = replace(diagnostic, message=f"in case `{name}`: {diagnostic.message}")
                more.setdefault(_place(diagnostic), told)
    kept = [d for d in found if d.code != _UNUSED or _place(d) in unused]
    return (*kept, *more.values())


def in_order(found: _Found) -> _Found:
    """By file, then place."""
    return tuple(sorted(found, key=_place))


def _place(diagnostic: Diagnostic) -> tuple[str, int, str]:
    span = diagnostic.span
    return span.source.name, span.start, diagnostic.code


def with_cases(
    plant: Plant, node: tree.PlantDefinition, cases: Mapping[str, Plant]
) -> tuple[Plant, _Found]:
    """The plant as it is written, which then says what its cases state, and the warnings of those
    that change nothing."""
    trees = cases_of(node)
    asked: dict[str, list[str]] = {}
    for name, text in _asked(node.body):
        asked.setdefault(name, []).append(text)
    diagnostics = Diagnostics()
    listed = []
    for name, found in cases.items():
        case = trees[name]
        of = "" if case.of is None else case.of.text
        hours = None if hours_of(case) is None else found.hours_per_year
        if hours is None and name not in asked and _alike(found, cases[of] if of else plant):
            fault = W0104.same_case(name, of) if of else W0104.same_plant(name)
            diagnostics.report(fault, case.name.span)
        lines = {line.name.text: _said(line) for line in case.body if isinstance(line, tree.Fact)}
        lines.pop(HOURS, None)
        texts = tuple(sorted(asked.get(name, ())))
        listed.append(Case(name=name, of=of, hours=hours, lines=lines, asked=texts))
    _check_year(plant, listed, trees, diagnostics)
    listed.sort(key=lambda one: one.name)
    return plant.model_copy(update={"cases": tuple(listed)}), tuple(diagnostics)


def _asked(body: tuple[tree.Statement, ...]) -> Iterator[tuple[str, str]]:
    """Each case that a requirement names, with what is required."""
    for requirement in requirements_of(body):
        yield from ((name.text, words(requirement.condition)) for name in requirement.cases)


def _said(line: tree.Fact) -> str:
    if line.entries is None:
        return cited(line.value, line.source)
    return "{ " + ", ".join(map(words, line.entries)) + " }"


_APART = {"title", "requirements", "hours_per_year", "units", "open", "case", "cases"}


def _alike(one: Plant, other: Plant) -> bool:
    return one.model_dump(exclude=_APART) == other.model_dump(exclude=_APART)


def _check_year(
    plant: Plant, listed: list[Case], trees: Mapping[str, tree.Case], diagnostics: Diagnostics
) -> None:
    """Report cases that are run longer than the year (E0212)."""
    run = [one for one in listed if one.hours is not None]
    whole = fsum(one.hours or 0.0 for one in run)
    year = _YEAR_H if plant.hours_per_year is None else plant.hours_per_year
    if whole > year * (1 + 1e-9):
        line = hours_of(trees[run[-1].name])
        fault = E0212.hours(f"{number_text(whole)} h", f"{number_text(year)} h")
        diagnostics.report(fault, trees[run[-1].name].span if line is None else line.span)
