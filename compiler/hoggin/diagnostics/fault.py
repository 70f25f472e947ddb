"""What is wrong, in words. Each code is a class, each of its messages an attribute.

A family file declares a code once: its title and page, every message it may give with its help, and
the quick-fix an editor may offer. A call site gives the fields only, which the type checker checks:

    report(E0209.no_result(owner, name, known), span)

A message whose words differ by more than its fields is a class method; all others are declared as
a `Message`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from inspect import cleandoc
from string import Formatter
from typing import Any, ClassVar, Generic, Literal, TypeVarTuple

from hoggin.diagnostics.suggest import did_you_mean, known_here

Fix = Literal[
    "",
    "replace",  # the word at fault, by a word that the help names
    "choose a member",  # as `NAME.word`, by a word that the help names
    "rewrite",  # the whole span, as the help writes it
    "rewrite with the word before",  # that word too, as the help writes both
    "quote",  # put the span in quotes
    "remove the quotes",
    "straighten the quotes",
    "remove the sign",
    "write the size",  # of a sieve, as the help has it
    "write a space",
    "write a comment",
    "separate",  # by the sign that the help names
    "begin the line",  # with the word that the help names
    "compare",
    "turn the route",
    "name the kind",
    "name the arguments",
    "name the deck",
    "append a unit",  # one that the help names
    "close the text",
    "close the block",  # at the end of the file
    "close the block here",  # after the place of its note
    "open the block",
    "move to the block",  # what is among the arguments
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
    """The words of one diagnostic. `note` says what the second place shows, where there is one.

    The docstring of a code is its page: the title, then why it is a fault, then examples.
    """

    message: str
    help: str = ""
    fix: Fix = ""
    note: str = ""

    code: ClassVar[str]
    title: ClassVar[str]
    why: ClassVar[str]
    remedy: ClassVar[str] = ""  # the help of a warning whose message is written where it is found

    def __init_subclass__(cls) -> None:
        cls.code = cls.__name__
        cls.title, cls.why, *_ = *cleandoc(cls.__doc__ or "").split("\n\n"), "", ""
        cls.why = cls.why.replace("\n", " ")

    @classmethod
    def page(cls) -> str:
        """The page as plain text, also good as Markdown."""
        text = re.sub(r"\n+(Wrong|Right): ", r"\n\n\1:\n\n    ", cleandoc(cls.__doc__ or ""))
        text = text.replace("\n" + " " * len("Wrong: "), "\n    ")  # more lines of an example
        return f"{cls.code}: {text}\n"


Fields = TypeVarTuple("Fields")


# How a message may ask for a field to be written, beyond Python's own formats.
_LISTS: dict[str, Callable[[Iterable[str]], str]] = {
    "chain": " -> ".join,
    "words": ", ".join,
    "names": lambda names: ", ".join(f"`{name}`" for name in names),
    "known here": known_here,
}
_FORMATS: dict[str, Callable[[Any], str]] = {
    **_LISTS,
    "per cent": lambda share: f"{100 * share:g} %",
    "spaced": lambda unit: f" {unit}".rstrip(),
    "last part": lambda path: path.rpartition(".")[2],
}


class _Writer(Formatter):
    def format_field(self, value: Any, format_spec: str) -> str:
        return _FORMATS.get(format_spec, lambda one: format(one, format_spec))(value)


class Words:
    """The words of a message as they are declared: its fields are in braces."""

    def __init__(self, message: str, help: str = "", fix: Fix = "", note: str = "") -> None:
        self._texts = (message, help, note)
        self._fix: Fix = fix

    def __set_name__(self, code: type[Fault], _: str) -> None:
        self._code = code

    @property
    def fields(self) -> dict[str, bool]:
        """Their names, in the order in which they first appear, and which of them are lists."""
        parts = (part for text in self._texts for part in Formatter().parse(text))
        return {name: spec in _LISTS for _, name, spec, _ in parts if name}

    def filled(self, values: Sequence[object]) -> Fault:
        named = dict(zip(self.fields, values, strict=True))
        message, help, note = (_Writer().vformat(text, (), named) for text in self._texts)
        return self._code(message, help, self._fix, note)


class Message(Words, Generic[*Fields]):
    """It is called with the values of its fields, in their order."""

    def __call__(self, *values: *Fields) -> Fault:
        return self.filled(values)


class Unknown(Words, Generic[*Fields]):
    """A message of an unknown name. It is also called with the known names, and its help offers
    the nearest of them to its field number `compared`, or all of them if that is None."""

    def __init__(self, message: str, compared: int | None = -1) -> None:
        super().__init__(message, fix="replace")
        self._compared = compared

    def __call__(self, *values: *tuple[*Fields, Iterable[str]]) -> Fault:
        *fields, known = values
        wrong = "" if self._compared is None else str(fields[self._compared])
        return replace(self.filled(fields), help=did_you_mean(wrong, known))
