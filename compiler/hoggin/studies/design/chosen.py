"""The case that a search came to, with what it was searched for."""

from __future__ import annotations

from dataclasses import dataclass

from hoggin.studies.design.trials import Goal, Scored, Trials
from hoggin.studies.design.variants import Variant


@dataclass(frozen=True)
class Chosen:
    """`point` is its place on the front, None where there is one aim or none."""

    variant: Variant
    trials: Trials
    goal: Goal
    best: Scored
    point: int | None
