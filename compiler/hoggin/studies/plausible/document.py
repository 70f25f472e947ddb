"""The plausible range of results as data, which is also its JSON format."""

from __future__ import annotations

from typing import Literal

from hoggin.schema.frozen import Frozen

Standing = Literal[
    "met", "met in the middle only", "not met", "not met in the middle only", "not judged"
]


class Cause(Frozen):
    """A figure of a class that is known no better than from `low` to `high` times what is
    computed, the same for all `machines` of the class."""

    name: str  # "jaws.single_toggle: capacity"
    low: float
    high: float
    source: str
    machines: tuple[str, ...]


class PlausibleResult(Frozen):
    """A result as balanced, and its range; `cause` moves it most, "" where nothing does."""

    name: str
    unit: str
    value: float
    low: float
    high: float
    cause: str


class PlausibleRequirement(Frozen):
    """The range of a requirement's margin, in its unit. `reason` says what is against it."""

    text: str
    unit: str
    standing: Standing
    low: float | None
    high: float | None
    reason: str


class Plausible(Frozen):
    """`cases` were balanced: the plant as it is, and each cause at either end. `unsettled` are the
    ends at which the plant has no balance; they are left out of the ranges."""

    format_version: int = 1
    title: str
    revision: str
    source_file: str
    compiler_version: str
    cases: int
    causes: tuple[Cause, ...]
    results: tuple[PlausibleResult, ...]
    requirements: tuple[PlausibleRequirement, ...]
    unsettled: tuple[str, ...]
