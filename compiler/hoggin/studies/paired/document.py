"""A study of rows as data: what its table and its frames are made from."""

from __future__ import annotations

from hoggin.schema.frozen import Frozen
from hoggin.schema.results import Judgement


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
    verdict as rating judges it."""

    text: str
    unit: str
    margins: tuple[float | None, ...]
    verdicts: tuple[Judgement, ...]


class Paired(Frozen):
    """refused: why a row has no balance, "" where it has one. overloaded: the machines that can't
    take their feed. all_met: whether a row has a balance, no machine is overloaded, and all
    requirements are met."""

    title: str
    revision: str
    source_file: str
    compiler_version: str
    settings: tuple[PairedSetting, ...]
    outputs: tuple[PairedOutput, ...]
    requirements: tuple[PairedRequirement, ...]
    refused: tuple[str, ...]
    overloaded: tuple[tuple[str, ...], ...]
    all_met: tuple[bool, ...]

    @property
    def rows(self) -> int:
        return len(self.refused)
