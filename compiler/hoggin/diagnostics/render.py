"""Diagnostics as text for a terminal: code, place, the line with the span underlined, the help."""

from __future__ import annotations

from collections.abc import Iterable

from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.diagnostics.source import Span
from hoggin.visible import columns

_TAB = "    "
_WIDEST = 160  # longer source lines are cut around the span


def render(diagnostic: Diagnostic) -> str:
    """One diagnostic, ending in a line break."""
    severity = "error" if diagnostic.is_error else "warning"
    span = diagnostic.span
    lines = [f"{severity} {diagnostic.code}: {diagnostic.message}", *_excerpt(span, "at")]
    for note in diagnostic.notes:
        lines.extend(_excerpt(note.span, note.text))
    if diagnostic.help:
        lines.append(f"  help: {diagnostic.help}")
    return "\n".join(lines) + "\n"


def render_all(diagnostics: Iterable[Diagnostic]) -> str:
    """All of them and a closing count; "" when there are none."""
    found = list(diagnostics)
    if not found:
        return ""
    errors = sum(diagnostic.is_error for diagnostic in found)
    warnings = len(found) - errors
    count = ", ".join(
        f"{number} {word}{'' if number == 1 else 's'}"
        for number, word in ((errors, "error"), (warnings, "warning"))
        if number
    )
    return "\n".join(map(render, found)) + f"\n{count}; `hoggin explain CODE` explains a code\n"


def _excerpt(span: Span, label: str) -> list[str]:
    source = span.source
    line, column = source.line_column(span.start)
    start, end = source.line_limits(line)
    if end - start > _WIDEST:
        start += max(0, min(column - 1, end - start) - 40)
        end = min(end, start + _WIDEST)
    text = source.text[start:end]
    first = min(span.start - start, len(text))
    last = max(first + 1, min(span.end - start, len(text)))
    pad = columns(_shown(text[:first]))
    width = columns(_shown(text[first:last])) or 1
    gutter = f"{line:>5} | "
    return [
        f"  {label} {source.name}:{line}:{column}",
        gutter + _shown(text).rstrip(),
        " " * (len(gutter) - 2) + "| " + " " * pad + "^" * width,
    ]


def _shown(text: str) -> str:
    """Control letters would move the terminal's cursor: they show as blank squares."""
    plain = text.replace("\t", _TAB)
    if plain.isprintable():
        return plain
    return "".join(letter if letter.isprintable() else "\N{WHITE SQUARE}" for letter in plain)
