"""A study of rows as data: what its table and its frames are made from."""

from __future__ import annotations

from typing import Literal

from hoggin.schema.frozen import Frozen
from hoggin.schema.results import Judgement
from hoggin.studies.unfinished import NOT_COMPUTED

NOT_ASKED: Literal["not asked"] = "not asked"
PairedVerdict = Judgement | Literal["not asked"]


class PairedLabel(Frozen):
    """A column that sets nothing: names of the rows, remarks, the plant's case."""

    name: str
    texts: tuple[str, ...]


class PairedSetting(Frozen):
    """A setting and its value in every row, in `unit`; words where its values are words."""

    name: str
    unit: str
    values: tuple[float, ...] | tuple[str, ...]


class PairedOutput(Frozen):
    """A result of every row; None where the plant has no balance or the result no value."""

    name: str
    unit: str
    values: tuple[float | None, ...]


class PairedRequirement(Frozen):
    """A requirement in every row: its margin in `unit` (below 0 where it is not met), and its
    verdict as rating judges it, "not asked" where the row's case does not have it."""

    text: str
    unit: str
    margins: tuple[float | None, ...]
    verdicts: tuple[PairedVerdict, ...]


class Paired(Frozen):
    """given: the names of the columns in their order. places: where each row is, as
    `cases.csv:15`. refused: why a row has no balance, "" where it has one. overloaded: the machines
    that can't take their feed. all_met: whether a row has a balance, no machine is overloaded, and
    all requirements are met."""

    title: str
    revision: str
    source_file: str
    compiler_version: str
    given: tuple[str, ...]
    labels: tuple[PairedLabel, ...]
    settings: tuple[PairedSetting, ...]
    outputs: tuple[PairedOutput, ...]
    requirements: tuple[PairedRequirement, ...]
    places: tuple[str, ...]
    refused: tuple[str, ...]
    overloaded: tuple[tuple[str, ...], ...]
    all_met: tuple[bool, ...]

    @property
    def rows(self) -> int:
        return len(self.refused)

    @property
    def verdicts(self) -> tuple[tuple[PairedVerdict, ...], ...]:
        """Of each requirement, in each row."""
        return tuple(one.verdicts for one in self.requirements)

    @property
    def missing(self) -> int:
        """The rows that an interrupted study has not computed."""
        return self.refused.count(NOT_COMPUTED)
