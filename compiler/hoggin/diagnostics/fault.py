"""What is wrong, in words. Each code is a class, each of its messages a constructor.

A family file declares a code once: its title and page, every message it may give with its help, and
the quick-fix an editor may offer. A call site gives the fields only, which the type checker checks:

    report(E0209.no_result(owner, name, known), span)
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

_WIDTH = 92

Fix = Literal[
    "",
    "replace",  # the word at fault, by a word that the help names
    "choose a member",  # as `NAME.word`, by a word that the help names
    "rewrite",  # the whole span, as the help writes it
    "quote",  # put the span in quotes
    "append a unit",  # one that the help names
    "close the text",
    "close the block",
    "add a setting",  # to the block, as the help writes it
    "add an argument",  # to the brackets, as the help writes it
    "add a line",  # to the block, as the help writes it
    "add a line to the plant",
    "add sieves",  # a line to the plant, and the library it needs
    "use a library",
    "remove a use",
]
"""What an editor may offer to do. Words in backticks in the help are what it works with."""


@dataclass(frozen=True, slots=True)
class Fault:
    """The words of one diagnostic. `note` says what the second place shows, where there is one."""

    message: str
    help: str = ""
    fix: Fix = ""
    note: str = ""

    code: ClassVar[str]
    title: ClassVar[str]
    why: ClassVar[str]
    wrong: ClassVar[str] = ""
    right: ClassVar[str] = ""
    remedy: ClassVar[str] = ""  # the help of a warning whose message is written where it is found

    def __init_subclass__(cls) -> None:
        cls.code = cls.__name__

    @classmethod
    def page(cls) -> str:
        """The page as plain text, also good as Markdown."""
        import textwrap  # not needed to check a plant

        lines = [f"{cls.code}: {cls.title}", "", *textwrap.wrap(cls.why, _WIDTH)]
        if cls.wrong:
            lines += ["", "Wrong:", "", *(f"    {line}" for line in cls.wrong.splitlines())]
        if cls.right:
            lines += ["", "Right:", "", *(f"    {line}" for line in cls.right.splitlines())]
        return "\n".join(lines) + "\n"
