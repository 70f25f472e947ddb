"""The comparison document: what backends read, and Hoggin's JSON format for a comparison."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from pydantic import BaseModel, ConfigDict

FORMAT_VERSION = 1


class _Frozen(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Revision(_Frozen):
    """One of the two plants: `name` as it was asked for."""

    name: str
    title: str
    revision: str
    content_sha256: str | None
    unsettled: str | None  # why it has no balance, where it has none


class Change(_Frozen):
    """Something stated otherwise: of a thing as a whole, or of one `what` of it.

    `subject` is told as AFTER calls it, or BEFORE where it is gone.
    """

    kind: Literal["added", "removed", "renamed", "changed"]
    subject: str  # "crusher secondary", "plant", "class std.cones.high_pivot"
    what: str  # "css", "deck top aperture", "" for the whole
    before: str | None
    after: str | None


class Turn(_Frozen):
    """A verdict that is another than before: of a requirement or of a limit."""

    subject: str  # "require chips.rate >= 80 t/h", "secondary load"
    before: str  # "met", "ok", "over limit"; "" where it was not asked
    after: str
    before_text: str  # "82.1 t/h"
    after_text: str
    worse: bool


class Consequence(_Frozen):
    """A result that differs. `weight` ranks them: per cent of plant feed for a rate, of the plant's
    power for power, points for passing and loads, per cent of itself for all else."""

    subject: str  # "product chips", "stream a -> b", "crusher secondary", "plant"
    what: str  # "rate", "P80", "passing 4 mm", "load"
    unit: str
    before: float | None  # None where there was none
    after: float | None
    weight: float


class Comparison(_Frozen):
    format_version: int = FORMAT_VERSION
    before: Revision
    after: Revision
    changes: tuple[Change, ...]
    turns: tuple[Turn, ...]
    consequences: tuple[Consequence, ...]  # heaviest first
    threshold: float  # least weight of a consequence told
    below_threshold: int  # how many more differ, by less
    renamed: Mapping[str, str]  # tag before -> tag after, where they differ

    @property
    def same(self) -> bool:
        """Whether nothing is told: the same plant, with the same results at this threshold."""
        return not (self.changes or self.turns or self.consequences)
