"""A run as a Markdown page for whoever reviews the change: what it did to the fleet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from hoggin.report.tables import Column, Document, Section, Table
from hoggin.report.text import markdown
from hoggin.report.wording import DEFERENCE, PREDICTION
from hoggin.revise.regress.drift import LIMIT, REQUIREMENT, WARNING
from hoggin.revise.regress.fleet import plants, shifts, turns
from hoggin.revise.regress.measured import Failed
from hoggin.revise.regress.outcome import Outcome, State
from hoggin.revise.regress.report import headline

MOST_CASES, MOST_ROWS = 60, 30
_ORDER = list(State)
_HEAD = {True: "All plants hold against their records", False: "Not all plants are as recorded"}


def review(outcomes: Sequence[Outcome], strays: Sequence[Path]) -> bytes:
    """The whole page; the same outcome gives the same bytes."""
    return markdown(_document(outcomes, strays)).encode("utf-8", "replace")


def _document(outcomes: Sequence[Outcome], strays: Sequence[Path]) -> Document:
    holds = not strays and all(one.state is State.HOLDS for one in plants(outcomes))
    counted = headline(outcomes).partition(";")[0]
    sections = [_cases(outcomes), *_failures(outcomes), *_unmet(outcomes), *_turned(outcomes)]
    sections += [*_quantities(outcomes), *_strays(strays)]
    sections.append(Section("What this says", (f"{PREDICTION} {DEFERENCE}",)))
    return Document(_HEAD[holds], f"{counted}.", tuple(sections))


def _cases(outcomes: Sequence[Outcome]) -> Section:
    """The gravest first; in each state as they were run."""
    shown = sorted(plants(outcomes), key=lambda one: _ORDER.index(one.state))
    rows = [
        (
            one.case.name,
            ", ".join(state.of_one for state in one.states) + (", accepted" * one.accepted),
            str(sum(drift.is_quantity for drift in one.drifts) or ""),
            one.drifts[0].sentence if one.drifts else "",
            "; ".join(one.causes),
        )
        for one in shown
    ]
    headings = ("case", "state", "drifted", "furthest", "changed since it was recorded")
    return _section("Cases", headings, rows, MOST_CASES)


def _failures(outcomes: Sequence[Outcome]) -> Iterator[Section]:
    rows = []
    for one in outcomes:
        if isinstance(one.run, Failed):
            first = next((found for found in one.run.findings if found.is_error), None)
            what = f"{first.code}: {first.message}" if first else one.run.message
            where = f"{first.spot.file}:{first.spot.line}:{first.spot.column}" if first else ""
            rows.append((one.case.name, what, where))
    if rows:
        yield _section("Failed", ("case", "first fault", "at"), rows, MOST_ROWS)


def _unmet(outcomes: Sequence[Outcome]) -> Iterator[Section]:
    rows = [(one.case.name, unmet.text, unmet.found) for one in outcomes for unmet in one.unmet]
    if rows:
        yield _section("Requirements not met", ("case", "requirement", "found"), rows, MOST_ROWS)


def _turned(outcomes: Sequence[Outcome]) -> Iterator[Section]:
    for heading, what, found in (
        ("Verdicts that turned", "verdict", turns(outcomes, REQUIREMENT, LIMIT)),
        ("Warnings that came or went", "warning", turns(outcomes, WARNING)),
    ):
        if found:
            rows = [(case, d.name, d.recorded or "none", d.now or "none") for case, d in found]
            yield _section(heading, ("case", what, "recorded", "now"), rows, MOST_ROWS)


def _quantities(outcomes: Sequence[Outcome]) -> Iterator[Section]:
    rows = [
        (
            one.quantity,
            str(one.cases),
            one.largest_text or "came or went",
            one.median_text,
            one.allowed,
            one.worst,
        )
        for one in shifts(outcomes)
    ]
    headings = ("quantity", "cases", "largest change", "median", "allowed", "worst case")
    if rows:
        yield _section("Quantities that drifted", headings, rows, MOST_ROWS)


def _strays(strays: Sequence[Path]) -> Iterator[Section]:
    if strays:
        rows = [(str(path),) for path in strays]
        yield _section("Records of no plant or case", ("record",), rows, MOST_ROWS)


def _section(
    heading: str, headings: tuple[str, ...], rows: Sequence[tuple[str, ...]], most: int
) -> Section:
    """A table of at most so many rows, which says how many more there are."""
    table = Table(heading, tuple(Column(name) for name in headings), tuple(rows[:most]))
    more = len(rows) - most
    return Section(heading, (), table, (f"and {more:,} more",) if more > 0 else ())
