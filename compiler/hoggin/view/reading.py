"""The outcome of one reading of the plant's file, good or bad."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from hoggin.report.cases import State
from hoggin.schema.results import Results


@dataclass(frozen=True, slots=True)
class SourceLine:
    """A line of a source, as written."""

    file: str
    line: int
    text: str


Places = Mapping[str, tuple[SourceLine, ...]]
"""Where things are stated, by the tag of a feed, machine or product and by the name of a stream."""


@dataclass(frozen=True, slots=True)
class Reading:
    """`results` is None if the text has errors, can't be read, or the plant can't be balanced; then
    `said` says why, and `fault` in a few words. `said` is what `hoggin check` prints, and may have
    only warnings."""

    results: Results | None
    said: str = ""
    fault: str = ""
    places: Places = field(default_factory=dict)
    saved: bool = True  # whether it is of the files, not of a text that is being written
    states: tuple[State, ...] = ()  # of a plant with cases: as it is written, and in each
