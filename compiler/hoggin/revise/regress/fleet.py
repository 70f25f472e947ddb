"""A run over many cases, summarised by quantity, with the verdicts that changed."""

from __future__ import annotations

import statistics
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from hoggin.revise.regress.drift import Drift
from hoggin.revise.regress.outcome import Outcome, State


@dataclass(frozen=True, slots=True)
class Shift:
    """One quantity over the cases in which it drifted. `largest` and `median` are changes, in the
    unit of the tolerance; "" where no case has one to measure: it came or went."""

    quantity: str
    allowed: str
    cases: int
    largest: str
    median: str
    beyond: float  # of the worst case, in tolerances
    worst: str  # the case's name
    rank: int


def plants(outcomes: Sequence[Outcome]) -> list[Outcome]:
    return [one for one in outcomes if not one.is_library]


def counts(outcomes: Sequence[Outcome]) -> dict[State, int]:
    """The number of plants in each state, worst first; a plant counts once."""
    found = Counter(one.state for one in plants(outcomes))
    return {state: found[state] for state in State if found[state]}


def shifts(outcomes: Sequence[Outcome]) -> tuple[Shift, ...]:
    """All quantities that drifted anywhere, furthest beyond tolerance first, then by how many
    cases."""
    where: dict[tuple[str, str], list[tuple[str, Drift]]] = {}
    for outcome in outcomes:
        for drift in outcome.drifts:
            if drift.is_quantity:
                key = drift.name, drift.unit
                where.setdefault(key, []).append((outcome.case.name, drift))
    found = [_shift(name, unit, drifted) for (name, unit), drifted in where.items()]
    return tuple(sorted(found, key=lambda one: (-one.beyond, -one.cases, one.rank, one.quantity)))


def turns(outcomes: Sequence[Outcome], *kinds: str) -> list[tuple[str, Drift]]:
    """Verdicts or warnings of these kinds that are not as recorded, each with its case's name."""
    return [
        (outcome.case.name, drift)
        for outcome in outcomes
        for drift in outcome.drifts
        if drift.kind in kinds
    ]


def _shift(name: str, unit: str, drifted: Sequence[tuple[str, Drift]]) -> Shift:
    changes = [drift.change for _, drift in drifted if drift.change is not None]
    case, worst = max(drifted, key=lambda one: (one[1].beyond, abs(one[1].change or 0.0)))
    return Shift(
        quantity=name,
        allowed=worst.allowed,
        cases=len(drifted),
        largest=f"{max(changes, key=abs):+.3g} {unit}" if changes else "",
        median=f"{statistics.median(changes):+.3g} {unit}" if changes else "",
        beyond=worst.beyond,
        worst=case,
        rank=worst.rank,
    )
