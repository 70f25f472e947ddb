"""What a run says of each case, and of the whole."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from hoggin.errors import Exit
from hoggin.revise.regress.acceptance import Acceptance
from hoggin.revise.regress.cases import Case
from hoggin.revise.regress.drift import Drift
from hoggin.revise.regress.measured import Failed, Measured, Verdict


class State(Enum):
    """From gravest to none; a case is in the first that fits it. In words, of one and of many."""

    UNREADABLE = "can't be read", "can't be read", Exit.USE
    ERRORS = "has errors", "with errors", Exit.SOURCE
    UNBALANCED = "can't be balanced", "can't be balanced", Exit.UNBALANCED
    UNMET = "not met", "with a requirement not met", Exit.UNMET
    DRIFTED = "drifted", "drifted", Exit.DIFFERENT
    UNRECORDED = "not recorded", "not recorded", Exit.DIFFERENT
    HOLDS = "holds", "hold", Exit.DONE

    def __init__(self, of_one: str, of_many: str, code: Exit) -> None:
        self.of_one, self.of_many, self.code = of_one, of_many, code


@dataclass(frozen=True, slots=True)
class Outcome:
    """A case, what it gave, and how that compares with its record. `record_fault` says why a record
    that is there can't be read; `accepted` that the record has been written again."""

    case: Case
    run: Measured | Failed
    has_record: bool = False
    record_fault: str = ""
    recorded: Acceptance | None = None  # who accepted the record, when and why
    drifts: tuple[Drift, ...] = ()
    causes: tuple[str, ...] = ()
    accepted: bool = False
    known: bool = False  # from the cache

    @property
    def unmet(self) -> tuple[Verdict, ...]:
        verdicts = () if isinstance(self.run, Failed) else self.run.verdicts
        return tuple(verdict for verdict in verdicts if not verdict.met)

    @property
    def failed(self) -> bool:
        return isinstance(self.run, Failed)

    @property
    def is_library(self) -> bool:
        return isinstance(self.run, Measured) and self.run.is_library

    @property
    def to_accept(self) -> bool:
        """Whether the record is not there, or not what the case gives now."""
        if isinstance(self.run, Failed) or self.run.is_library or self.accepted:
            return False
        return bool(self.record_fault) or not self.has_record or bool(self.drifts)

    @property
    def record_trouble(self) -> str:
        """Why there is no record to compare with; "" where there is one."""
        if self.record_fault:
            return f"the record can't be read: {self.record_fault}"
        return "" if self.has_record else "not recorded yet"

    @property
    def states(self) -> Iterator[State]:
        if isinstance(self.run, Failed):
            yield State[self.run.reason.upper()]
            return
        if self.unmet:
            yield State.UNMET
        if self.to_accept:
            yield State.DRIFTED if self.has_record else State.UNRECORDED
        if not self.unmet and not self.to_accept:
            yield State.HOLDS

    @property
    def state(self) -> State:
        return next(self.states)


def visible(text: str) -> str:
    """A text with a blank square for each sign that can't be seen: control letters, which would
    move a terminal's cursor, and what XML and UTF-8 can't hold."""
    return "".join(sign if sign.isprintable() else "\N{WHITE SQUARE}" for sign in text)


def visible_lines(text: str) -> str:
    return "\n".join(map(visible, text.split("\n")))
