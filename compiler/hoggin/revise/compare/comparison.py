"""The comparison document: what backends read, and the JSON format of a comparison."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from hoggin.schema.frozen import Frozen
from hoggin.schema.results import Judgement

Group = Literal["product", "plant", "machine", "stream", "dust"]
GROUPS: tuple[Group, ...] = ("product", "plant", "machine", "stream", "dust")


class Revision(Frozen):
    """One of the two plants: `name` as it was asked for."""

    name: str
    title: str
    revision: str
    content_sha256: str | None
    unsettled: str | None  # why it has no balance, where it has none


class Change(Frozen):
    """A difference in what is stated: a thing as a whole, or one fact `what` of it.

    `subject` has its name in AFTER, or in BEFORE if it is gone.
    """

    kind: Literal["added", "removed", "renamed", "changed"]
    subject: str  # "crusher secondary", "plant", "class std.cones.high_speed"
    what: str  # "css", "deck top aperture", "" for the whole
    before: str | None
    after: str | None


class Judged(Frozen):
    """A requirement in one of the plants."""

    verdict: Judgement
    value: str  # "82.1 t/h"
    margin: str  # "+2.1 t/h (+2.6 %)"

    @property
    def met(self) -> bool:
        return self.verdict == "met"


class RequirementChange(Frozen):
    """A requirement whose value, margin or verdict differs. None where it is not asked."""

    text: str  # as AFTER has it
    before: Judged | None
    after: Judged | None

    @property
    def turned(self) -> bool:
        """Whether its verdict is another, or it is asked in one plant only."""
        if self.before is None or self.after is None:
            return True
        return self.before.verdict != self.after.verdict


class Turn(Frozen):
    """A verdict or text that changed: a limit crossed, a warning added or removed."""

    subject: str  # "crusher secondary"
    what: str  # "load", "bed depth", "assumption"
    before: str  # "ok", "over limit"; "" where there was none
    after: str
    before_text: str  # "load 78 % of 310 t/h capacity"
    after_text: str
    worse: bool


class Consequence(Frozen):
    """A result that differs, ranked by `weight`: for a rate, per cent of the plant's feed; for
    power, per cent of the plant's power; for a result in per cent, points; otherwise, per cent of
    the result."""

    group: Group
    subject: str  # "product chips", "stream a -> b", "crusher secondary", "plant"
    what: str  # "rate", "P80", "passing 4 mm", "load"
    unit: str
    before: float | None  # None where there was none; a share in per cent
    after: float | None
    weight: float
    also: tuple[str, ...] = ()  # where else the same two values are: a stream through bins


class Comparison(Frozen):
    format_version: int = 3
    before: Revision
    after: Revision
    notes: tuple[str, ...]  # what a reader should know before trusting the two marks
    changes: tuple[Change, ...]
    requirements: tuple[RequirementChange, ...]
    turns: tuple[Turn, ...]
    consequences: tuple[Consequence, ...]  # by group, heaviest first
    threshold: float  # least weight of a consequence that is listed
    below_threshold: int  # how many more differ, by less
    other_currency: (
        int  # results in money, where their currency is not the same: all of them differ
    )
    renamed: Mapping[str, str]  # tag before -> tag after, where they differ
    case: str = ""  # that is compared
    cases: tuple[Comparison, ...] = ()  # of which anything differs beside what is changed above

    @property
    def sides(self) -> tuple[Revision, Revision]:
        return self.before, self.after

    @property
    def same(self) -> bool:
        """Whether nothing differs, listed or below the threshold: the same plant, with the same
        results."""
        listed = self.changes or self.requirements or self.turns or self.consequences
        return not (listed or self.below_threshold or self.other_currency or self.cases)
