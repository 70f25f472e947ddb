"""Diagnostics as text for a terminal: code, place, the line with the span underlined, the help."""

from __future__ import annotations

from collections.abc import Iterable

from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.diagnostics.source import Span
from hoggin.folding import wrapped
from hoggin.paint import Ink, Paint, plain
from hoggin.visible import columns

_TAB = "    "
_SEVERITY: dict[bool, tuple[str, Ink]] = {True: ("error", "bad"), False: ("warning", "near")}
_WIDEST = 160  # longer source lines are cut around the span


def render(diagnostic: Diagnostic, width: int | None = None, paint: Paint = plain) -> str:
    """One diagnostic, ending in a line break. Without a width its sentences are not folded, so
    that a program finds each as one line."""
    severity, ink = _SEVERITY[diagnostic.is_error]
    said = f"{severity} {diagnostic.code}:"
    first, *rest = _sentence(f"{said} {diagnostic.message}", width)
    lines = [paint(ink, said) + first.removeprefix(said), *rest]
    lines += _excerpt(diagnostic.span, "at", width, paint, ink)
    for note in diagnostic.notes:
        lines += _excerpt(note.span, note.text, width, paint, "strong")
    if diagnostic.help:
        first, *rest = _sentence(f"help: {diagnostic.help}", width)
        lines += [f"  {paint('strong', 'help:')}{first.removeprefix('help:')}"]
        lines += [f"  {line}" for line in rest]
    return "\n".join(lines) + "\n"


def _sentence(text: str, width: int | None) -> list[str]:
    return [text] if width is None else wrapped(text, width - 2, hanging="  ")


def render_all(
    diagnostics: Iterable[Diagnostic], width: int | None = None, paint: Paint = plain
) -> str:
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
    rendered = "\n".join(render(one, width, paint) for one in found)
    return f"{rendered}\n{count}; `hoggin explain CODE` explains a code\n"


def _excerpt(span: Span, label: str, width: int | None, paint: Paint, ink: Ink) -> list[str]:
    line, column = span.source.line_column(span.start)
    text = span.source.line_text(line)
    first = min(column - 1, len(text))
    last = max(first + 1, min(first + (span.end - span.start), len(text)))
    gutter = f"{line:>5} | "
    room = _WIDEST if width is None else min(_WIDEST, width - len(gutter))
    if columns(_shown(text)) > room:
        cut = max(0, first - room // 4)
        text, first, last = _fitting(text[cut:], room), first - cut, last - cut
    pad = columns(_shown(text[:first]))
    long = columns(_shown(text[first:last])) or 1
    return [
        f"  {label} {span.source.name}:{line}:{column}",
        gutter + _shown(text).rstrip(),
        " " * (len(gutter) - 2) + "| " + " " * pad + paint(ink, "^" * long),
    ]


def _fitting(text: str, room: int) -> str:
    """As much of the start of a text as the room has columns for."""
    end = min(len(text), room)
    while columns(_shown(text[:end])) > room:
        end -= 1
    return text[:end]


def _shown(text: str) -> str:
    """Control letters would move the terminal's cursor: they show as blank squares."""
    plain = text.replace("\t", _TAB)
    return "".join(letter if letter.isprintable() else "\N{WHITE SQUARE}" for letter in plain)
