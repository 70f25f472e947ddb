"""W01: warnings of the checker."""

from __future__ import annotations

from typing import Self

from hoggin.diagnostics.fault import Fault


class W0101(Fault):
    title = "never used"
    why = "Nothing refers to this name. Often another name is misspelt."

    @classmethod
    def name(cls, kind: str, name: str) -> Self:
        return cls(f"{kind} `{name}` is never used", "remove it, or use it")

    @classmethod
    def library(cls, name: str) -> Self:
        return cls(f"library `{name}` is never used", "remove the line, or use it", "remove a use")


class W0102(Fault):
    title = "the weight of a single aim"
    why = (
        "A weight says how much one aim counts against another; a single aim has no other to be "
        "weighed against."
    )
    wrong = "aim most chips.rate weight 2"
    right = "aim most chips.rate"

    @classmethod
    def single_aim(cls) -> Self:
        return cls("the plant has one aim only: its weight has no effect", "remove the weight")
