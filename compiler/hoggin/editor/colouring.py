"""Semantic tokens: what kind of thing each word of a document is."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import compress

from hoggin.check.free import FREE
from hoggin.editor.snapshot import Snapshot
from hoggin.syntax.tokens import Token
from hoggin.world import is_library

# The protocol's own names of kinds, by what a symbol is here.
_BY_SYMBOL = {
    "library": "namespace",
    "let": "variable",
    "parameter": "parameter",
    **dict.fromkeys(("class", "template"), "class"),
    **dict.fromkeys(("series", "material", "band", "grading"), "type"),
    **dict.fromkeys(("setting", "deck", "outlet", "in port", "out port"), "property"),
}
_OPERATORS = ("ARROW", "COMPARISON", "SIGN", "STAR", "SLASH", "CARET", "EQUAL", "VBAR")
_BY_TOKEN = {
    "STRING": "string",
    **dict.fromkeys(("NUMBER", "MEASURE", "PERCENT"), "number"),
    **dict.fromkeys(_OPERATORS, "operator"),
}
_SIGNS = {"LBRACE", "RBRACE", "LPAR", "RPAR", "COLON", "COMMA", "SEMICOLON", "DOT", "_NL"}
TYPES = (
    "keyword",
    "comment",
    "function",
    "enumMember",
    *sorted({*_BY_SYMBOL.values(), *_BY_TOKEN.values()}),
)
MODIFIERS = ("declaration", "defaultLibrary")
_COMMENT = re.compile("#.*")


@dataclass(frozen=True, slots=True)
class Coloured:
    start: int
    end: int
    type: str
    modifiers: tuple[str, ...] = ()


def coloured(snapshot: Snapshot) -> tuple[Coloured, ...]:
    """Every word of the document that has a kind, in order; none crosses a line's end."""
    source = snapshot.source
    named = {one.span.start: one for one in snapshot.names.occurrences(snapshot.name)}
    tokens = snapshot.tokens
    found: list[Coloured] = []
    for place, token in enumerate(tokens):
        one = named.get(token.start)
        if one is not None and one.span.end == token.end:
            flags = (one.declares, is_library(one.symbol.file))
            modifiers = tuple(compress(MODIFIERS, flags))
            kind = _BY_SYMBOL.get(one.symbol.kind, "variable")
            found.append(Coloured(token.start, token.end, kind, modifiers))
        else:
            kind = _plain(token, tokens, place)
            if kind and "\n" not in token.text:
                found.append(Coloured(token.start, token.end, kind))
    found += _comments(source.text, tokens)
    return tuple(sorted(found, key=lambda one: one.start))


def _plain(token: Token, tokens: Sequence[Token], place: int) -> str:
    if token.kind in _SIGNS:
        return ""
    if token.kind in _BY_TOKEN:
        return _BY_TOKEN[token.kind]
    if token.kind != "NAME":
        return "keyword"
    after = tokens[place + 1].kind if place + 1 < len(tokens) else "_NL"
    before = tokens[place - 1].kind if place else "_NL"
    if after == "LPAR" and token.text in ("min", "max", *FREE):
        return "function"
    opens = before in ("_NL", "LBRACE", "SEMICOLON", "LPAR", "COMMA")
    return "property" if opens or before == "DOT" else "enumMember"


def _comments(text: str, tokens: Sequence[Token]) -> Iterator[Coloured]:
    """A `#` that is in no text begins one, up to the line's end."""
    strings = [token for token in tokens if token.kind == "STRING"]
    begins = (0, *(token.end for token in strings))
    ends = (*(token.start for token in strings), len(text))
    for start, end in zip(begins, ends, strict=True):
        for found in _COMMENT.finditer(text, start, end):
            yield Coloured(found.start(), found.end(), "comment")
