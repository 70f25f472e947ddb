"""Conflicts that a merge left in a text: reported once each, and read as the first side that says
anything, so that nothing else is blamed for them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from hoggin.diagnostics.diagnostic import Diagnostic, Diagnostics, Note
from hoggin.diagnostics.families.text import E0108
from hoggin.diagnostics.source import Source, Span

# Seven signs or more at the start of a line, then a space and a name, or nothing.
_MARKER = re.compile(r"^(?P<signs><{7,}|\|{7,}|={7,}|>{7,})(?: (?P<name>.*))?$", re.M)
_WORD = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")
_MOST_SHOWN = 5  # lines of each side


@dataclass(frozen=True, slots=True)
class _Conflict:
    """The markers of a conflict, in order; of a conflict that was resolved by half, what is left of
    them."""

    markers: Sequence[re.Match[str]]

    @property
    def whole(self) -> bool:
        kinds = [found["signs"][0] for found in self.markers]
        return kinds in (["<", "=", ">"], ["<", "|", "=", ">"])

    @property
    def sides(self) -> list[tuple[int, int]]:
        """Where the text of the first side and that of the last are."""
        first, second, *_, middle, last = (*self.markers[:2], *self.markers[-2:])
        return [(first.end() + 1, second.start()), (middle.end() + 1, last.start())]


def without_conflicts(source: Source, diagnostics: Diagnostics) -> tuple[Source, frozenset[str]]:
    """The source with spaces for markers and for all but one side, each at its old place; and the
    words that were so left out."""
    conflicts = list(_conflicts(source.text))
    if not conflicts:
        return source, frozenset()
    text = source.text
    lost = {""}
    for conflict in conflicts:
        _report(conflict, source, diagnostics)
        for start, end in _left_out(conflict, source.text):
            part = text[start:end]
            lost.update(_WORD.findall(part))
            text = text[:start] + re.sub(r"[^\n]", " ", part) + text[end:]
    return Source(source.name, text), frozenset(lost)


def _conflicts(text: str) -> Iterator[_Conflict]:
    if "<<<<<<<" not in text and "=======" not in text and ">>>>>>>" not in text:
        return
    found: list[re.Match[str]] = []
    for marker in _MARKER.finditer(text):
        signs = marker["signs"]
        if found and len(signs) != len(found[0]["signs"]):
            continue  # a conflict within the base of this one
        if found and signs[0] == "<":  # the one before has no end
            yield _Conflict(found)
            found = []
        found.append(marker)
        if signs[0] == ">" or found[0]["signs"][0] != "<":
            yield _Conflict(found)
            found = []
    if found:
        yield _Conflict(found)


def _left_out(conflict: _Conflict, text: str) -> Iterator[tuple[int, int]]:
    if not conflict.whole:
        yield from (marker.span() for marker in conflict.markers)
        return
    first, last = conflict.sides
    start, end = first if text[slice(*first)].strip() else last
    yield conflict.markers[0].start(), start
    yield end, conflict.markers[-1].end()


def _report(conflict: _Conflict, source: Source, diagnostics: Diagnostics) -> None:
    first, last = conflict.markers[0], conflict.markers[-1]
    at = Span(source, first.start(), first.end())
    if not conflict.whole:
        diagnostics.report(E0108.half(), at)
        return
    names = [marker["name"] or word for marker, word in ((first, "one side"), (last, "the other"))]
    notes = tuple(
        note
        for name, (start, end) in zip(names, conflict.sides, strict=True)
        for note in _shown(name, source, start, end)
    )
    fault = E0108.conflict(Span(source, last.start(), last.end()).line)
    diagnostics.extend([replace(Diagnostic.of(fault, at), notes=notes)])


def _shown(name: str, source: Source, start: int, end: int) -> Iterator[Note]:
    """The lines of a side, each a note."""
    lines = list(re.finditer(r"[^\n]*\S", source.text[start:end]))
    if not lines:
        yield Note(Span(source, start - 1, start), E0108.empty_side(name))
    for number, line in enumerate(lines[:_MOST_SHOWN]):
        more = len(lines) - _MOST_SHOWN if number == _MOST_SHOWN - 1 else 0
        first = start + line.start() + len(line[0]) - len(line[0].lstrip())
        yield Note(Span(source, first, start + line.end()), E0108.side(name, more))
