"""The sweep as data, for its tables and plots."""

from __future__ import annotations

from typing import Literal

from hoggin.schema.frozen import Frozen
from hoggin.schema.results import Judgement
from hoggin.studies.intervals import Interval
from hoggin.studies.unfinished import NOT_COMPUTED

Stretch = Interval


class SweptSetting(Frozen):
    """A setting and its values in `unit`. `scale` "steps" for a list that is not a range. Of a
    setting that is a word, the values are the places of `words`, from 1."""

    name: str
    unit: str
    values: tuple[float, ...]
    scale: Literal["range", "steps"] = "range"
    words: tuple[str, ...] = ()


class SweptLimit(Frozen):
    """A requirement's limits on an output, in its unit; `requirement` counts from 0."""

    requirement: int
    low: float | None
    high: float | None


class SweptOutput(Frozen):
    """A result at every step; None if the plant has no balance or the result no value."""

    name: str
    unit: str
    values: tuple[float | None, ...]
    limits: tuple[SweptLimit, ...]


class SweptRequirement(Frozen):
    """A requirement at every step: its margin in `unit` (below 0 if it is not met), and its verdict
    as rating judges it, which tolerates `slack`. feasible: for one setting, the intervals in which
    it is met."""

    text: str
    unit: str
    slack: float
    margins: tuple[float | None, ...]
    verdicts: tuple[Judgement, ...]
    feasible: tuple[Stretch, ...] = ()


class Sweep(Frozen):
    """Steps run over the settings' values, the last setting's fastest.

    refused: why a step has no balance, "" if it has one. overloaded: the machines that can't take
    their feed. all_met: whether a step has a balance, no machine is overloaded, and all
    requirements are met. feasible: for one setting, the intervals in which that is so; their ends
    are interpolated linearly between two steps.
    """

    title: str
    revision: str
    source_file: str
    compiler_version: str
    settings: tuple[SweptSetting, ...]
    outputs: tuple[SweptOutput, ...]
    requirements: tuple[SweptRequirement, ...]
    refused: tuple[str, ...]
    overloaded: tuple[tuple[str, ...], ...]
    all_met: tuple[bool, ...]
    feasible: tuple[Stretch, ...] = ()

    @property
    def steps(self) -> int:
        return len(self.refused)

    @property
    def verdicts(self) -> tuple[tuple[Judgement, ...], ...]:
        """Of each requirement, at each step."""
        return tuple(one.verdicts for one in self.requirements)

    @property
    def missing(self) -> int:
        """The steps that an interrupted sweep has not computed."""
        return self.refused.count(NOT_COMPUTED)
