"""W01: warnings of the checker."""

from __future__ import annotations

from hoggin.diagnostics.fault import Fault, Message


class W0101(Fault):
    """never used

    Nothing refers to this name. Often another name is misspelt.
    """

    name = Message[str, str]("{kind} `{name}` is never used", "remove it, or use it")
    library = Message[str](
        "library `{name}` is never used", "remove the line, or use it", "remove a use"
    )


class W0102(Fault):
    """the weight of a single aim

    A weight states how much one aim counts against another. With a single aim it has no effect.

    Wrong: maximize chips.rate weight 2
    Right: maximize chips.rate
    """

    single_aim = Message[()](
        "the plant has only one aim, so its weight has no effect", "remove the weight"
    )
