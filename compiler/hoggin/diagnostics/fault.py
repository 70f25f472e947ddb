"""What is wrong, in words. Each code is a class, each of its messages an attribute.

A family file declares a code once: its title and page, every message it may give with its help, and
the quick-fix an editor may offer. A call site gives the fields only, which the type checker checks:

    report(E0209.no_result(owner, name, known), span)

A message that has to compute its words is a class method; all others are declared as a `Message`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from string import Formatter
from typing import ClassVar, Generic, Literal, TypeVarTuple

from hoggin.diagnostics.suggest import did_you_mean

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
        cls.why = " ".join(cls.why.split())

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


Fields = TypeVarTuple("Fields")


class Words:
    """The words of a message as they are declared: its fields stand in braces."""

    def __init__(self, message: str, help: str = "", fix: Fix = "", note: str = "") -> None:
        self._texts = (message, help, note)
        self._fix: Fix = fix

    def __set_name__(self, code: type[Fault], _: str) -> None:
        self._code = code

    @property
    def fields(self) -> tuple[str, ...]:
        """Their names, in the order in which they first appear."""
        found = (name for text in self._texts for _, name, _, _ in Formatter().parse(text) if name)
        return tuple(dict.fromkeys(found))

    def filled(self, values: Sequence[object]) -> Fault:
        named = dict(zip(self.fields, values, strict=True))
        message, help, note = (text.format_map(named) for text in self._texts)
        return self._code(message, help, self._fix, note)


class Message(Words, Generic[*Fields]):
    """It is called with the values of its fields, in their order."""

    def __call__(self, *values: *Fields) -> Fault:
        return self.filled(values)


class Unknown(Words, Generic[*Fields]):
    """A message of an unknown name, its last field. It is also called with the known names, and
    its help offers the nearest of them."""

    def __call__(self, *values: *tuple[*Fields, Iterable[str]]) -> Fault:
        *fields, known = values
        help = did_you_mean(str(fields[-1]), known)
        return replace(self.filled(fields), help=help, fix="replace")
