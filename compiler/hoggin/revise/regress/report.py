"""A run told in a terminal: what is wrong first, plant by plant, and the list of all at the end."""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

from hoggin.revise.regress.drift import Drift
from hoggin.revise.regress.measured import Failed
from hoggin.revise.regress.outcome import Outcome, State, visible, visible_lines

_NARROWEST_NAME = 16
_GAP = 2
_HEADINGS = ("quantity", "recorded", "now", "unit", "differs", "allowed", "beyond")
_ALIGNED = ("left", "right", "right", "left", "right", "right", "right")


def details(outcomes: Sequence[Outcome], strays: Sequence[Path], width: int) -> str:
    """What is wrong with each case: errors, requirements, drift; the furthest drifted last, where
    a terminal's reader is."""
    grave = [one for one in outcomes if isinstance(one.run, Failed)]
    others = [one for one in outcomes if one.unmet or one.drifts or one.record_fault]
    others.sort(key=lambda one: max((drift.beyond for drift in one.drifts), default=-1.0))
    parts = ["\n".join(_detail(one, width)) for one in others]
    parts += _failures(grave)
    if strays:
        listed = "\n".join(f"  {visible(str(path))}" for path in strays)
        parts.append(f"recorded, but of no plant or case any more:\n{listed}")
    return "".join(f"{part}\n\n" for part in parts)


def summary(outcomes: Sequence[Outcome], strays: Sequence[Path], accepted: bool) -> str:
    """A line for each case, and the count."""
    plants = [one for one in outcomes if not one.is_library]
    lines = [f"{_words(one):<{_longest(plants)}}  {visible(one.case.name)}" for one in plants]
    counts = Counter(one.state for one in plants)
    told = ", ".join(f"{counts[state]} {_STATE_COUNTED[state]}" for state in State if counts[state])
    known = sum(one.known for one in plants)
    lines.append("")
    lines.append(f"{_counted(len(plants), 'case')}: {told or 'none'}; {known} unchanged")
    if strays and not accepted:
        lines.append(f"{_counted(len(strays), 'record')} of no plant or case")
    if not accepted and (strays or any(one.to_accept for one in plants)):
        lines.append("What is meant to be so is accepted with `--accept`; see the tables first.")
    return "\n".join(lines) + "\n"


_STATE_COUNTED = {
    State.UNREADABLE: "can't be read",
    State.ERRORS: "with errors",
    State.UNBALANCED: "can't be balanced",
    State.UNMET: "with a requirement not met",
    State.DRIFTED: "drifted",
    State.UNRECORDED: "not recorded",
    State.HOLDS: "hold",
}


def _words(outcome: Outcome) -> str:
    words = ", ".join(state.value for state in outcome.states)
    return f"{words}, accepted" if outcome.accepted else words


def _longest(outcomes: Sequence[Outcome]) -> int:
    return max((len(_words(one)) for one in outcomes), default=0)


def _counted(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def _failures(outcomes: Sequence[Outcome]) -> Iterator[str]:
    """What fails for the same reason, as many cases of a grid may, is told once."""
    alike: dict[str, list[str]] = {}
    for one in outcomes:
        if isinstance(one.run, Failed):
            told = f"{visible(one.case.name)}: {one.state.value}"
            alike.setdefault(one.run.message, []).append(told)
    for message, names in alike.items():
        yield "\n".join([*names, textwrap.indent(visible_lines(message.rstrip()), "  ")])


def _detail(outcome: Outcome, width: int) -> Iterator[str]:
    name, run = visible(outcome.case.name), outcome.run
    if isinstance(run, Failed):
        return
    if outcome.unmet:
        yield f"{name}: {_counted(len(outcome.unmet), 'requirement')} not met"
    for verdict in outcome.unmet:
        yield f"  NOT MET {visible(verdict.text)}: {visible(verdict.found)}"
    if outcome.record_fault:
        yield f"{name}: its record can't be read"
        yield f"  {visible(str(outcome.case.record))}: {visible(outcome.record_fault)}"
    elif outcome.drifts:
        yield f"{name}: drifted"
        for cause in outcome.causes:
            yield f"  since it was recorded: {visible(cause)}"
        yield ""
        yield _table(outcome.drifts, width)
        held = len(run.quantities) + len(run.verdicts)
        held -= sum(bool(drift.now) for drift in outcome.drifts)
        yield f"  {held} others hold"
    if outcome.accepted:
        yield f"  accepted: {visible(str(outcome.case.record))}"


def _table(drifts: Sequence[Drift], width: int) -> str:
    from tabulate import tabulate

    cells = [_cells(drift) for drift in drifts]
    taken = sum(
        max(len(row[place]) for row in [_HEADINGS, *cells]) + _GAP
        for place in range(1, len(_HEADINGS))
    )
    room = max(_NARROWEST_NAME, width - taken - _GAP)
    rows = [(textwrap.fill(name, room), *rest) for name, *rest in cells]
    rule = [
        "-" * max(len(line) for row in [_HEADINGS, *rows] for line in row[place].split("\n"))
        for place in range(len(_HEADINGS))
    ]
    drawn = tabulate(
        [_HEADINGS, rule, *rows], tablefmt="plain", colalign=_ALIGNED, disable_numparse=True
    )
    return "\n".join(f"  {line}".rstrip() for line in drawn.split("\n"))


def _cells(drift: Drift) -> tuple[str, ...]:
    before, now = drift.recorded, drift.now
    unit = ""
    if drift.what:  # a quantity, not a verdict: its unit is told once
        before, _, unit_before = before.partition(" ")
        now, _, unit_now = now.partition(" ")
        unit = unit_now or unit_before
    differs = drift.difference.partition(" ")[0]
    cells = (drift.name, before, now, unit, differs, drift.tolerance, drift.verdict)
    return tuple(visible(cell) for cell in cells)
