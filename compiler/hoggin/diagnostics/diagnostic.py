"""A diagnostic is data: it is collected beside the result and rendered at the very end."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from hoggin.diagnostics.codes import CODES
from hoggin.diagnostics.source import Span


@dataclass(frozen=True, slots=True)
class Note:
    """A second place that matters: where the name was first declared, the other route ..."""

    span: Span
    text: str


@dataclass(frozen=True, slots=True)
class Diagnostic:
    code: str
    span: Span
    message: str
    help: str = ""
    notes: tuple[Note, ...] = ()

    @property
    def is_error(self) -> bool:
        return self.code.startswith("E")


class Diagnostics:
    """Collects diagnostics; the same fault at the same place is kept once."""

    def __init__(self) -> None:
        self._found: dict[tuple[str, str, int, str], Diagnostic] = {}

    def report(
        self,
        code: str,
        span: Span,
        message: str,
        help: str = "",
        notes: Iterable[Note] = (),
    ) -> None:
        if code not in CODES:
            raise KeyError(f"undeclared diagnostic code {code}")
        key = (code, span.source.name, span.start, message)
        self._found.setdefault(key, Diagnostic(code, span, message, help, tuple(notes)))

    def extend(self, others: Iterable[Diagnostic]) -> None:
        for other in others:
            self.report(other.code, other.span, other.message, other.help, other.notes)

    @property
    def has_errors(self) -> bool:
        return any(found.is_error for found in self._found.values())

    @property
    def count(self) -> int:
        return len(self._found)

    def __iter__(self) -> Iterator[Diagnostic]:
        """By file, then place; errors and warnings of one place in code order."""
        return iter(
            sorted(self._found.values(), key=lambda d: (d.span.source.name, d.span.start, d.code))
        )


def did_you_mean(wrong: str, known: Iterable[str]) -> str:
    """A help sentence with the nearest known name, or with the whole list when it is short."""
    from difflib import get_close_matches  # only a fault needs it

    names = sorted(set(known))
    same = [name for name in names if name.lower() == wrong.lower()]  # but for capital letters
    near = same[:1] or get_close_matches(wrong, names, n=1, cutoff=0.6)
    if near:
        return f"did you mean `{near[0]}`?"
    if 0 < len(names) <= 12:
        return "known here: " + ", ".join(f"`{name}`" for name in names)
    return ""
