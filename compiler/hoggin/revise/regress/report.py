"""A run in a terminal: first what is wrong, plant by plant, then over all cases, then the list of
all cases."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from pathlib import Path

from hoggin.paint import Ink, Paint, plain
from hoggin.report.grid import drawn
from hoggin.report.tables import Column, Table
from hoggin.revise.regress.drift import Drift
from hoggin.revise.regress.fleet import Shift, counts, plants, shifts
from hoggin.revise.regress.measured import Failed
from hoggin.revise.regress.outcome import Outcome, State, visible, visible_lines
from hoggin.schema.figures import STATED

_INDENT = "  "
_NAME = 28  # columns of a quantity's name before it wraps
_COLUMNS = (
    Column("quantity", width=_NAME),
    *(Column(heading, figures=STATED) for heading in ("recorded", "now")),
    Column("unit"),
    *(Column(heading, figures=STATED) for heading in ("differs", "allowed", "beyond")),
)
_FLEET_COLUMNS = (
    Column("quantity", width=_NAME),
    *(Column(heading, figures=STATED) for heading in ("cases", "largest", "median", "allowed")),
    Column("worst case"),
)
_INKS: dict[State, Ink] = {
    **dict.fromkeys(State, "bad"),
    State.DRIFTED: "near",
    State.UNRECORDED: "near",
    State.HOLDS: "good",
}
_MOST_ROWS, _FEWEST_ROWS = 24, 8  # of drift tables together, and of each
_MOST_OF_FLEET = 15


def details(
    outcomes: Sequence[Outcome],
    strays: Sequence[Path],
    width: int,
    paint: Paint = plain,
    *,
    full: bool,
) -> str:
    """What is wrong with each case: errors, requirements, drift; the furthest drifted last, where
    a terminal's reader is. Long tables are cut, and say so, unless all is to be shown."""
    others = [one for one in outcomes if one.unmet or one.drifts or one.record_fault]
    others.sort(key=lambda one: max((drift.beyond for drift in one.drifts), default=-1.0))
    most = None if full else max(_FEWEST_ROWS, _MOST_ROWS // max(1, len(others)))
    parts = ["\n".join(_detail(one, width, most, paint)) for one in others]
    parts += _failures(outcomes)
    if strays:
        listed = "\n".join(f"  {visible(str(path))}" for path in strays)
        parts.append(f"recorded, but without a plant or case:\n{listed}")
    if sum(bool(one.drifts) for one in outcomes) > 1:
        parts += _fleet(shifts(outcomes), width, None if full else _MOST_OF_FLEET)
    return "".join(f"{part}\n\n" for part in parts)


def summary(
    outcomes: Sequence[Outcome], strays: Sequence[Path], accepted: bool, paint: Paint = plain
) -> str:
    """A line for each case, and the count."""
    shown = plants(outcomes)
    longest = max((len(_words(one)) for one in shown), default=0)
    lines = [
        f"{paint(_INKS[one.state], f'{_words(one):<{longest}}')}  {visible(one.case.name)}"
        for one in shown
    ]
    lines += ["", headline(outcomes)]
    if strays and not accepted:
        lines.append(f"{_counted(len(strays), 'record')} without a plant or case")
    failed = sum(one.failed for one in shown)
    if accepted and failed:
        lines += [
            f"Nothing is accepted because {_counted(failed, 'case')} failed: all are accepted or "
            "none.",
            "Correct what failed, or name only the files to accept.",
        ]
    elif not accepted and (strays or any(one.to_accept for one in shown)):
        lines.append("Check the tables, then accept intended changes with `--accept`.")
    return "\n".join(lines) + "\n"


def headline(outcomes: Sequence[Outcome]) -> str:
    """The count of all cases by their state."""
    shown = plants(outcomes)
    told = ", ".join(f"{n} {state.of_many}" for state, n in counts(outcomes).items())
    known = sum(one.known for one in shown)
    return f"{_counted(len(shown), 'case')}: {told or 'none'}; {known} unchanged"


def _words(outcome: Outcome) -> str:
    words = ", ".join(state.of_one for state in outcome.states)
    return f"{words}, accepted" if outcome.accepted else words


def _counted(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def _failures(outcomes: Sequence[Outcome]) -> Iterator[str]:
    """What fails for the same reason, as many cases of a grid may, is shown once."""
    alike: dict[str, list[str]] = {}
    for one in outcomes:
        if isinstance(one.run, Failed):
            row = f" (its values: {visible(one.case.row)})" if one.case.row else ""
            told = f"{visible(one.case.name)}: {one.state.of_one}{row}"
            alike.setdefault(one.run.message, []).append(told)
    for message, names in alike.items():
        yield "\n".join([*names, textwrap.indent(visible_lines(message.rstrip()), "  ")])


def _detail(outcome: Outcome, width: int, most: int | None, paint: Paint) -> Iterator[str]:
    name, run = visible(outcome.case.name), outcome.run
    if isinstance(run, Failed):
        return
    if outcome.unmet:
        yield f"{name}: {_counted(len(outcome.unmet), 'requirement')} not met"
    for verdict in outcome.unmet:
        yield f"  {paint('bad', 'NOT MET')} {visible(verdict.text)}: {visible(verdict.found)}"
    if outcome.record_fault:
        yield f"{name}: its record can't be read"
        yield f"  {visible(str(outcome.case.record))}: {visible(outcome.record_fault)}"
    elif outcome.drifts:
        yield f"{name}: drifted"
        if outcome.recorded is not None:
            told = f"recorded {visible(str(outcome.recorded))}"
            yield textwrap.fill(told, width, initial_indent="  ", subsequent_indent="    ")
        for cause in outcome.causes:
            yield f"  since it was recorded: {visible(cause)}"
        yield ""
        yield _table(_COLUMNS, [_cells(one) for one in outcome.drifts[:most]], width)
        yield from _more(len(outcome.drifts), most)
        held = len(run.quantities) + len(run.verdicts) + len(run.limits) + len(run.warned)
        held -= sum(bool(drift.now) for drift in outcome.drifts)
        yield f"  {held} others are within tolerance"
    if outcome.accepted:
        yield f"  accepted: {visible(str(outcome.case.record))}"


def _fleet(found: Sequence[Shift], width: int, most: int | None) -> Iterator[str]:
    """A table of the quantities that drifted, over all cases."""
    if not found:
        return
    rows = [
        (one.quantity, str(one.cases), one.largest, one.median, one.allowed, one.worst)
        for one in found[:most]
    ]
    cells = [tuple(map(visible, row)) for row in rows]
    table = _table(_FLEET_COLUMNS, cells, width)
    yield "\n".join(["over all cases:", "", table, *_more(len(found), most)])


def _more(number: int, most: int | None) -> Iterator[str]:
    if most is not None and number > most:
        yield f"  and {number - most:,} more, shown with `--all`"


def _table(columns: tuple[Column, ...], rows: Sequence[tuple[str, ...]], width: int) -> str:
    table = drawn(Table("", columns, tuple(rows)), width - len(_INDENT))
    return textwrap.indent(table, _INDENT)


def _cells(drift: Drift) -> tuple[str, ...]:
    before, now = drift.recorded, drift.now
    unit = ""
    if drift.is_quantity:  # its unit is shown once
        before, _, unit_before = before.partition(" ")
        now, _, unit_now = now.partition(" ")
        unit = unit_now or unit_before
    differs = drift.difference.partition(" ")[0]
    cells = (drift.name, before, now, unit, differs, drift.allowed, drift.verdict)
    return tuple(map(visible, cells))
