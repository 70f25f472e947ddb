"""A text as its lines: tokens, comment and blank lines, as the author broke them."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.syntax.tokens import Token, tokens_of


@dataclass
class Line:
    """`tokens` is empty for a line of comment alone. `spaced`: a blank line is before it."""

    tokens: list[Token] = field(default_factory=list)
    comment: str = ""
    spaced: bool = False


def lines_of(source: Source) -> list[Line]:
    """The lines that hold anything, in order. The source is one that reads without errors."""
    lines = [Line()]
    end = 0
    for token in tokens_of(source, Diagnostics()):
        if token.kind == "_NL":
            continue
        _between(source.text[end : token.start], lines)
        lines[-1].tokens.append(token)
        end = token.end
    _between(source.text[end:], lines)
    return [line for line in lines if line.tokens or line.comment]


def _between(gap: str, lines: list[Line]) -> None:
    """Take what is between two tokens: a comment on the line, and whole lines."""
    first, *rest = gap.split("\n")
    lines[-1].comment = _comment(first) or lines[-1].comment
    blank = False
    for number, part in enumerate(rest):
        comment = _comment(part)
        last = number == len(rest) - 1
        if comment or last:
            lines.append(Line(comment=comment, spaced=blank))
            blank = False
        else:
            blank = True


def _comment(text: str) -> str:
    """`# words` with one space after the sign; "" where there is none."""
    stripped = text.strip()
    if not stripped.startswith("#"):
        return ""
    return re.sub(r"^(#+)(?=[^\s#!])", r"\1 ", stripped)
