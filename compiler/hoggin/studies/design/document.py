"""A design as data, for its tables and plot."""

from __future__ import annotations

from typing import Literal

from hoggin.schema.frozen import Frozen


class FoundSetting(Frozen):
    """A setting that was free. `written` is rounded to a step that can be set; `exact` is the
    optimum before rounding. `end` says which end of its range it is at, and `end_worth` the gain in
    the first aim from a `unit` beyond it, None if unknown; `end_by` says who else sets that end, as
    `its class's range`."""

    name: str
    written: str
    exact: str
    choices: str  # `34 mm to 50 mm`, or the list
    choice: bool  # one of a list
    line: int
    unit: str
    end: Literal["", "lower", "upper"] = ""
    end_worth: float | None = None
    end_by: str = ""


class FoundPick(Frozen):
    """A free choice of words or of blocks."""

    name: str
    option: str
    options: tuple[str, ...]
    line: int


class FoundAim(Frozen):
    """An aim's value in the written revision, and at the optimum before rounding."""

    text: str
    direction: Literal["most", "least"]
    unit: str
    weight: float
    value: float
    exact: float


class LimitWorth(Frozen):
    """The gain in the first aim from relaxing a limit by `relaxed` of its `unit`. If a setting has
    a range, that is one unit at the rate of a small step: by the multiplier (None if slopes don't
    determine it), and by another search with the limit slightly relaxed, or of a rule of a class
    slightly tightened (None if that finds nothing). If all settings are choices, it is the least
    relaxation with a gain, and exact."""

    limit: str
    unit: str
    relaxed: float
    by_multiplier: float | None
    by_search: float | None


class FoundRequirement(Frozen):
    """A requirement of the written revision. `binds` at the optimum before rounding. about: of one
    that every machine has to meet, in which way the machine is full."""

    text: str
    about: str = ""
    met: bool
    value: str
    margin: str
    binds: bool
    worths: tuple[LimitWorth, ...] = ()


class FoundRule(Frozen):
    """A range of a class, a model or nature that a number is at an end of, at the optimum before
    rounding."""

    place: str  # `cone.css`
    text: str  # `must be from 6 mm to 60 mm, its class's range`
    worth: LimitWorth


class FoundLimit(Frozen):
    """A limit of a machine or deck that the written revision passes or comes near to. The search
    does not hold it."""

    subject: str
    text: str
    verdict: Literal["watch", "over"]
    code: str | None


class TriedAlternative(Frozen):
    """One alternative of picks: the best of the first aim, None if no case met all requirements;
    `refused` says which rule of a class it breaks. is_searched: it had a full search, not only the
    short one."""

    words: str
    best: float | None
    refused: str = ""
    is_searched: bool = True


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


class TriedCase(Frozen):
    """A case that was balanced in a search: the aims' values, None without one, its settings, and
    whether it meets all requirements."""

    values: tuple[float | None, ...]
    settings: tuple[FrontierSetting, ...]
    words: str
    met: bool


class ConflictPart(Frozen):
    """A requirement in conflict; `needed` is the least relaxation of it alone, in `unit`, with
    which all requirements are met, None if no such settings were found."""

    text: str
    unit: str
    needed: float | None


class FoundConflict(Frozen):
    """The smallest set in conflict. smallest: every smaller set was tried. proven: every
    combination of settings was balanced; otherwise the search found no settings."""

    parts: tuple[ConflictPart, ...]
    smallest: bool
    proven: bool


class Design(Frozen):
    """The result. `conflict` is None if settings meet all requirements; only then are there
    settings. `every` says that every combination was balanced."""

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
    rules: tuple[FoundRule, ...] = ()
    limits: tuple[FoundLimit, ...] = ()
    alternatives: tuple[TriedAlternative, ...] = ()
    frontier: tuple[FrontierPoint, ...] = ()
    conflict: FoundConflict | None = None
