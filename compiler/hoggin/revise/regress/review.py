"""A run as a Markdown page for the reviewer of a change: its effect on all plants."""

from __future__ import annotations

from collections.abc import Sequence
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
Rows = Sequence[tuple[str, ...]]
_HEAD = {True: "All plants match their records", False: "Not all plants match their records"}


def review(outcomes: Sequence[Outcome], strays: Sequence[Path]) -> bytes:
    """The whole page; the same outcome gives the same bytes."""
    return markdown(_document(outcomes, strays)).encode("utf-8", "replace")


def _document(outcomes: Sequence[Outcome], strays: Sequence[Path]) -> Document:
    holds = not strays and all(one.state is State.HOLDS for one in plants(outcomes))
    counted = headline(outcomes).partition(";")[0]
    turned = ("recorded", "now")
    unmet = [(one.case.name, unmet.text, unmet.found) for one in outcomes for unmet in one.unmet]
    changes = ("quantity", "cases", "largest change", "median", "allowed", "worst case")
    tables: tuple[tuple[str, tuple[str, ...], Rows], ...] = (
        ("Failed", ("case", "first fault", "at"), _failures(outcomes)),
        ("Requirements not met", ("case", "requirement", "found"), unmet),
        (
            "Verdicts that changed",
            ("case", "verdict", *turned),
            _turned(outcomes, REQUIREMENT, LIMIT),
        ),
        ("Warnings added or removed", ("case", "warning", *turned), _turned(outcomes, WARNING)),
        ("Quantities that drifted", changes, _quantities(outcomes)),
        ("Records without a plant or case", ("record",), [(str(path),) for path in strays]),
    )
    sections = [_cases(outcomes)]
    sections += [_section(title, names, rows, MOST_ROWS) for title, names, rows in tables if rows]
    sections.append(Section("Notes", (f"{PREDICTION} {DEFERENCE}",)))
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


def _failures(outcomes: Sequence[Outcome]) -> Rows:
    rows = []
    for one in outcomes:
        if isinstance(one.run, Failed):
            first = next((found for found in one.run.findings if found.is_error), None)
            what = f"{first.code}: {first.message}" if first else one.run.message
            where = f"{first.spot.file}:{first.spot.line}:{first.spot.column}" if first else ""
            rows.append((one.case.name, what, where))
    return rows


def _turned(outcomes: Sequence[Outcome], *kinds: str) -> Rows:
    found = turns(outcomes, *kinds)
    return [(case, d.name, d.recorded or "none", d.now or "none") for case, d in found]


def _quantities(outcomes: Sequence[Outcome]) -> Rows:
    return [
        (s.quantity, str(s.cases), s.largest or "added or removed", s.median, s.allowed, s.worst)
        for s in shifts(outcomes)
    ]


def _section(heading: str, headings: tuple[str, ...], rows: Rows, most: int) -> Section:
    """A table of at most so many rows, which says how many more there are."""
    table = Table(heading, tuple(Column(name) for name in headings), tuple(rows[:most]))
    more = len(rows) - most
    return Section(heading, (), table, (f"and {more:,} more",) if more > 0 else ())
