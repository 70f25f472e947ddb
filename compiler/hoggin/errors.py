"""What ends a command early, and the exit codes: each is declared here and nowhere else."""

from __future__ import annotations

from collections.abc import Iterable
from enum import IntEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from hoggin.diagnostics.diagnostic import Diagnostic


class Exit(IntEnum):
    """What a command ends with; the README's table and `hoggin --help` say the same."""

    meaning: str

    def __new__(cls, code: int, meaning: str) -> Exit:
        member = int.__new__(cls, code)
        member._value_ = code
        member.meaning = meaning
        return member

    DONE = 0, "done; a plant that is judged meets every requirement"
    SOURCE = 1, "errors in the source; nothing was written"
    USE = 2, "wrong use, or a file, process or cluster that can't be used"
    UNBALANCED = (
        3,
        "the plant can't be balanced and nothing was written; of a study, no case has a balance",
    )
    UNMET = 4, "balanced and written, but a machine is overloaded or a requirement is not met"
    DIFFERENT = 5, "a difference was found where none was expected"
    INTERRUPTED = (
        130,
        "interrupted; a long study keeps what is finished, marked PARTIAL; others leave no files",
    )


class HogginError(Exception):
    """Something can't be done: a plain sentence for the user, the exit code, and the diagnostics
    that say more than the sentence."""

    def __init__(
        self, message: str, code: Exit = Exit.USE, diagnostics: Iterable[Diagnostic] = ()
    ) -> None:
        super().__init__(message)
        self.exit_code = code
        self.diagnostics = tuple(diagnostics)


class PluginError(HogginError):
    """A plug-in package can't be used; the message names the package and says why."""


class SourceError(HogginError):
    """A plant has errors; its diagnostics say which."""

    def __init__(self, diagnostics: Iterable[Diagnostic]) -> None:
        super().__init__("the plant has errors", Exit.SOURCE, diagnostics)
