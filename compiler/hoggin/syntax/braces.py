"""A brace that was forgotten, found by how the lines are indented, and put in.

Without this the rest of the file would be read in the wrong block and every line of it blamed.
Only a file whose braces do not match is looked at, so how a right file is indented never matters.
"""

from __future__ import annotations

from dataclasses import dataclass

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.families.text import E0103
from hoggin.diagnostics.source import Source, Span
from hoggin.syntax.tokens import Token

_OPENERS = (
    *("PLANT", "CLASS", "TEMPLATE", "SERIES", "KIND", "DEFINITION", "PRODUCT", "MODEL"),
    "OPERATION",
    "PROJECT",
)


_Block = tuple[int, int]  # index of the brace, indent of its line


@dataclass(frozen=True, slots=True)
class _Line:
    first: int  # of the tokens
    last: int
    indent: int  # columns before its first token


def matched(tokens: list[Token], source: Source, diagnostics: Diagnostics) -> list[Token]:
    """The tokens with one brace more where one is missing (E0103) and the indents show where."""
    kinds = [token.kind for token in tokens]
    missing = kinds.count("LBRACE") - kinds.count("RBRACE")
    if missing == 1:
        return _closed(tokens, source, diagnostics)
    if missing == -1:
        return _opened(tokens, source, diagnostics)
    return tokens


def _lines(tokens: list[Token], source: Source) -> list[_Line]:
    lines: list[_Line] = []
    first = 0
    for index, token in enumerate([*tokens, Token("_NL", "", 0, 0)]):
        if token.kind == "_NL":
            if index > first:
                start = tokens[first].start
                indent = start - (source.text.rfind("\n", 0, start) + 1)
                lines.append(_Line(first, index - 1, indent))
            first = index + 1
    return lines


def _closed(tokens: list[Token], source: Source, diagnostics: Diagnostics) -> list[Token]:
    """A block is closed before the first line that is indented no deeper than its own, and does
    not close it."""
    open_blocks: list[_Block] = []
    before = 0
    for line in _lines(tokens, source):
        if open_blocks:
            brace, indent = open_blocks[-1]
            closes = tokens[line.first].kind == "RBRACE"
            if line.indent < indent or (line.indent == indent and not closes):
                opening = tokens[brace]
                at = tokens[before].end
                diagnostics.report(
                    E0103.not_closed(),
                    Span(source, opening.start, opening.end),
                    Span(source, at - 1, at),
                )
                return [*tokens[: before + 1], Token("RBRACE", "}", at, at), *tokens[before + 1 :]]
        _follow(open_blocks, tokens, line)
        before = line.last
    return tokens


def _opened(tokens: list[Token], source: Source, diagnostics: Diagnostics) -> list[Token]:
    """A closing brace is under the line that opened its block: where it is not, the line
    above it of the same indent, with deeper lines below, lacks its brace."""
    lines = _lines(tokens, source)
    open_blocks: list[_Block] = []
    for number, line in enumerate(lines):
        indent = open_blocks[-1][1] if open_blocks else -1
        if tokens[line.first].kind == "RBRACE" and line.indent != indent:
            head = _head_without_brace(tokens, lines[:number], line.indent)
            if head is None:
                return tokens
            at = tokens[head.last].end
            diagnostics.report(E0103.not_opened(), Span(source, tokens[head.first].start, at))
            cut = head.last + 1
            return [*tokens[:cut], Token("LBRACE", "{", at, at), *tokens[cut:]]
        _follow(open_blocks, tokens, line)
    return tokens


def _follow(open_blocks: list[_Block], tokens: list[Token], line: _Line) -> None:
    """Open and close blocks as a line does."""
    for index in range(line.first, line.last + 1):
        if tokens[index].kind == "LBRACE":
            open_blocks.append((index, line.indent))
        elif tokens[index].kind == "RBRACE" and open_blocks:
            open_blocks.pop()


def _head_without_brace(tokens: list[Token], above: list[_Line], indent: int) -> _Line | None:
    for number in range(len(above) - 2, -1, -1):
        line = above[number]
        if line.indent < indent:
            return None
        if line.indent == indent and above[number + 1].indent > indent:
            opener = tokens[line.first]
            named = opener.kind in _OPENERS or opener.text == "passing"
            return line if named and tokens[line.last].kind != "LBRACE" else None
    return None
