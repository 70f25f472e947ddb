"""A found design as data: what its tables and plot are drawn from."""

from __future__ import annotations

from typing import Literal

from hoggin.schema.frozen import Frozen


class FoundSetting(Frozen):
    """A setting that was free. `written` is rounded to what can be set, `exact` is the optimum
    before that; `end` says which end of its range it is at, and `end_worth` what a `unit` beyond it
    would bring of the first aim, None where that is not known."""

    name: str
    written: str
    exact: str
    choices: str  # `34 mm to 50 mm`, or the list
    choice: bool  # one of a list
    line: int
    unit: str
    end: Literal["", "lower", "upper"] = ""
    end_worth: float | None = None


class FoundPick(Frozen):
    """A free choice of words or of blocks."""

    name: str
    option: str
    options: tuple[str, ...]
    line: int


class FoundAim(Frozen):
    """An aim as the written revision comes to it, and at the optimum before rounding."""

    text: str
    direction: Literal["most", "least"]
    unit: str
    weight: float
    value: float
    exact: float


class LimitWorth(Frozen):
    """What relaxing a limit by `relaxed` of its `unit` brings of the first aim. Where a setting has
    a range that is one unit at the rate of a small step: by its multiplier, None where slopes don't
    tell, and by another search with it a little relaxed. Where all settings are choices it is the
    least that brings anything, and exact."""

    limit: str
    unit: str
    relaxed: float
    by_multiplier: float | None
    by_search: float


class FoundRequirement(Frozen):
    """A requirement of the written revision. `binds` at the optimum before rounding."""

    text: str
    met: bool
    value: str
    margin: str
    binds: bool
    worths: tuple[LimitWorth, ...] = ()


class TriedAlternative(Frozen):
    """One alternative of picks: the first aim's best there, None where none met all requirements;
    `refused` where it breaks a rule of a class."""

    words: str
    best: float | None
    refused: str = ""


class FrontierSetting(Frozen):
    name: str
    value: float
    unit: str


class FrontierPoint(Frozen):
    """A point of the trade-off front: values of the aims, in order, and its settings. The front is
    of settings before rounding; `picked` is the one that the written revision is rounded from."""

    values: tuple[float, ...]
    settings: tuple[FrontierSetting, ...]
    words: str
    picked: bool = False


class ConflictPart(Frozen):
    """A requirement in conflict; `needed` is the least it alone has to be relaxed by, in `unit`,
    for all others to be met with it, None where no such settings were found."""

    text: str
    unit: str
    needed: float | None


class FoundConflict(Frozen):
    """The smallest set in conflict. smallest: no smaller set was left untried. proven: every
    combination of settings was balanced; else no settings were found in the search."""

    parts: tuple[ConflictPart, ...]
    smallest: bool
    proven: bool


class Design(Frozen):
    """What was found. `conflict` is None where settings meet all requirements, and then alone are
    there settings. `every` says that every combination was balanced."""

    title: str
    revision: str
    source_file: str
    compiler_version: str
    seed: int
    starts: int
    balances: int
    every: bool
    aims: tuple[FoundAim, ...] = ()
    settings: tuple[FoundSetting, ...] = ()
    picks: tuple[FoundPick, ...] = ()
    requirements: tuple[FoundRequirement, ...] = ()
    alternatives: tuple[TriedAlternative, ...] = ()
    frontier: tuple[FrontierPoint, ...] = ()
    conflict: FoundConflict | None = None
