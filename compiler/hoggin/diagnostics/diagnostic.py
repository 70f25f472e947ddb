"""A diagnostic is data: it is collected beside the result and rendered at the very end."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from hoggin.diagnostics.fault import Fault, Fix
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
    fix: Fix = ""

    @classmethod
    def of(cls, fault: Fault, span: Span, other: Span | None = None) -> Diagnostic:
        """A fault at its place; `other` is the second place that its note speaks of."""
        notes = () if other is None else (Note(other, fault.note),)
        return cls(fault.code, span, fault.message, fault.help, notes, fault.fix)

    @property
    def is_error(self) -> bool:
        return self.code.startswith("E")


class Diagnostics:
    """Collects diagnostics; the same fault at the same place is kept once."""

    def __init__(self) -> None:
        self._found: dict[tuple[str, str, int, str], Diagnostic] = {}

    def report(self, fault: Fault, span: Span, other: Span | None = None) -> None:
        """Add a fault at its place; `other` is the second place that its note speaks of."""
        self._add(Diagnostic.of(fault, span, other))

    def extend(self, others: Iterable[Diagnostic]) -> None:
        for other in others:
            self._add(other)

    def _add(self, one: Diagnostic) -> None:
        key = (one.code, one.span.source.name, one.span.start, one.message)
        self._found.setdefault(key, one)

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
