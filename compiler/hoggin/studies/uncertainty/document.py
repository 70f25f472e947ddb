"""The study of uncertainty as data, which is also its JSON format."""

from __future__ import annotations

from typing import Literal

from hoggin.schema.frozen import Frozen

Method = Literal["random", "latin", "sequence"]


class UncertainNumber(Frozen):
    """An uncertain number; `numbers`, `low` and `high` are in `unit`.

    numbers: mean and standard deviation of "normal"; low and high of "uniform"; low, most likely
    and high of "triangle". It is sampled between `low` and `high` (None where unlimited), which
    leaves out the share `left_out` of its distribution. `limited_by` says what limits it.
    """

    name: str
    kind: str
    unit: str
    numbers: tuple[float, ...]
    start: float
    low: float | None
    high: float | None
    left_out: float
    limited_by: str


class Cause(Frozen):
    """Sobol indices of an output for a number, with half the width of their 95 % intervals from
    resampling. first: the share of the variance that disappears if the number is known. total: the
    share that remains if all others are known."""

    number: str
    first: float
    first_error: float
    total: float
    total_error: float


class OutputSpread(Frozen):
    """A result over the samples that give it a value (`count`); one in ten is below `p10`.

    at_start: with every number at its start. causes: by total index, the largest first; none if
    the result does not vary.
    """

    name: str
    unit: str
    at_start: float | None
    count: int
    mean: float | None
    deviation: float | None
    p10: float | None
    p50: float | None
    p90: float | None
    causes: tuple[Cause, ...] = ()
    foremost: bool = False


class Chance(Frozen):
    """The number of samples that meet it, and the Wilson interval of the chance (95 %). A sample
    without a balance meets no requirement, and neither does one that is not judged, because what
    the requirement depends on is overloaded."""

    text: str
    met: int
    not_judged: int
    samples: int
    chance: float
    low: float
    high: float


class Reason(Frozen):
    text: str
    samples: int


class Overloaded(Frozen):
    """A machine that can't take its feed in some samples. What is downstream is void there."""

    tag: str
    samples: int


class Uncertainty(Frozen):
    """`samples` were requested. Of them `left_out` are not valid, `unsettled` have no balance, and
    an interrupted study has not computed those that are `missing`. `cases` were balanced in all,
    including those for the ranking."""

    format_version: int = 1
    title: str
    revision: str
    source_file: str
    compiler_version: str
    method: Method
    seed: int
    samples: int
    cases: int
    left_out: int
    unsettled: int
    missing: int
    ranked: int  # samples that the ranking is based on; 0 if there is none
    reasons: tuple[Reason, ...]
    numbers: tuple[UncertainNumber, ...]
    outputs: tuple[OutputSpread, ...]
    chances: tuple[Chance, ...]
    all_together: Chance | None
    overloaded: tuple[Overloaded, ...]
